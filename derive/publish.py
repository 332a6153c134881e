"""Output folders that are replaced whole or not at all.

Enters: a folder's name and the bytes of its files. Leaves: the folder on disk.
Must not know: what the files hold.
"""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from derive.errors import DeriveError

STEM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.\-]*\Z")


class CannotWrite(DeriveError):
    """The output folder cannot be written; what was there before is untouched."""


def publish(folder: Path, files: Mapping[str, bytes]) -> None:
    """Writes all files into a fresh folder beside the old one, then puts it in the old one's place.

    Until the last moment the old folder is as it was. Raises CannotWrite.
    """
    if not STEM.match(folder.name):
        raise CannotWrite(f"{folder.name!r} cannot be the name of an output folder: use letters, digits, - and _")
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
            raise CannotWrite(f"{folder} is in the way and is not a folder: move it, or choose another --output")
        fresh = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        try:
            for name, content in files.items():
                (fresh / name).write_bytes(content)
            fresh.chmod(0o755)
            _swap(fresh, folder)
        finally:
            shutil.rmtree(fresh, ignore_errors=True)
    except OSError as error:
        raise CannotWrite(f"{folder} cannot be written: {error.strerror}") from None


def _swap(fresh: Path, folder: Path) -> None:
    old = fresh.with_name(fresh.name + "-old")
    if folder.exists():
        os.rename(folder, old)
    try:
        os.rename(fresh, folder)
    except OSError:
        if old.exists():
            os.rename(old, folder)
        raise
    shutil.rmtree(old, ignore_errors=True)


def replace_file(path: Path, content: bytes) -> None:
    """Writes one file whole, in the place of what was there. Raises CannotWrite."""
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, prefix=f".{path.name}-", delete=False) as fresh:
            fresh.write(content)
        os.chmod(fresh.name, 0o644)
        os.replace(fresh.name, path)
    except OSError as error:
        raise CannotWrite(f"{path} cannot be written: {error.strerror}") from None

"""LaTeX source to PDF, safely and reproducibly.

Enters: the source and its pictures. Leaves: the bytes of the PDF. Must not know: documents.

Each job runs in a fresh folder with everything copied in, without shell escape, with paranoid file access,
closed standard input, a time limit and a limit on file sizes. The clock is set aside, so that the same
source gives the same bytes.
"""

from __future__ import annotations

import os
import re
import resource
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Mapping
from pathlib import Path

from derive.errors import Defect, ToolMissing

ENGINE = "pdflatex"
SECONDS = 60.0
"""Time limit of one pass."""
LARGEST_FILE = 200 * 2**20
PASSES = 5
OVERFULL = re.compile(r"^Overfull \\[hv]box \(([0-9.]+)pt too (?:wide|high)\).*$", re.MULTILINE)
TOLERATED = 1.0
"""An overfull box up to this many points is below what the eye sees."""
MISSING = re.compile(r"^Missing character: .*$", re.MULTILINE)
PICTURE = re.compile(r"[A-Za-z0-9][A-Za-z0-9_\-]*\.(?:pdf|png|jpg)\Z")
EPOCH = "946684800"
"""The date that TeX is told: the beginning of 2000, UTC."""


class TooWide(Defect):
    """Something on the page runs over the edge of its column."""


def require_engine() -> str:
    """The path of pdflatex. Raises ToolMissing where there is none."""
    engine = shutil.which(ENGINE)
    if engine is None:
        raise ToolMissing(
            "pdflatex is not on this machine: install TeX Live (worked/prepare lists the packages); "
            "until then worksheets are written as .html and .tex without PDF"
        )
    return engine


def compile_pdf(tex: str, pictures: Mapping[str, bytes], *, seconds: float = SECONDS) -> bytes:
    """The PDF of a source with its pictures.

    Raises ToolMissing when pdflatex is not on this machine, TooWide where a box is overfull by more than one
    point, and Defect with the telling lines of the log when TeX fails, takes longer than ``seconds`` for a
    pass, or lacks a character.
    """
    engine = require_engine()
    with tempfile.TemporaryDirectory(prefix="derive-") as name:
        folder = Path(name)
        (folder / "worksheet.tex").write_text(tex, encoding="utf-8")
        for picture, content in pictures.items():
            if not PICTURE.match(picture):
                raise Defect(f"{picture!r} is not the name of a picture")
            (folder / picture).write_bytes(content)
        _run_passes(engine, folder, seconds)
        _inspect((folder / "worksheet.log").read_text("utf-8", "replace"))
        return (folder / "worksheet.pdf").read_bytes()


def _run_passes(engine: str, folder: Path, seconds: float) -> None:
    """Runs TeX until its notes to itself (page numbers, widths of columns, bookmarks) stay the same."""
    _run(engine, folder, seconds, draft=True)
    notes = _notes(folder)
    for _ in range(PASSES):
        _run(engine, folder, seconds)
        before, notes = notes, _notes(folder)
        if notes == before:
            return
    raise Defect("the page numbers of the worksheet do not settle")


def _notes(folder: Path) -> tuple[bytes, ...]:
    names = ("worksheet.aux", "worksheet.out")
    return tuple((folder / name).read_bytes() if (folder / name).exists() else b"" for name in names)


def _run(engine: str, folder: Path, seconds: float, *, draft: bool = False) -> None:
    command = [engine, "-no-shell-escape", "-interaction=nonstopmode", "-halt-on-error", "-file-line-error"]
    command += ["-draftmode"] if draft else []
    process = subprocess.Popen(
        [*command, "worksheet.tex"], cwd=folder, env=_environment(folder), stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True, preexec_fn=_limit,
    )  # fmt: skip
    try:
        status = process.wait(timeout=seconds)
    except subprocess.TimeoutExpired:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        raise Defect(f"TeX took longer than {seconds:g} s") from None
    if status != 0:
        log = folder / "worksheet.log"
        told = _telling(log.read_text("utf-8", "replace") if log.exists() else "")
        raise Defect(f"TeX could not set the worksheet: {told}")


def _limit() -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (LARGEST_FILE, LARGEST_FILE))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def _environment(folder: Path) -> dict[str, str]:
    """What TeX may know of its surroundings: where programs are, and a home that is its own folder."""
    kept = {key: os.environ[key] for key in ("PATH", "SYSTEMROOT") if key in os.environ}
    return kept | {
        "HOME": str(folder), "LC_ALL": "C.UTF-8", "TZ": "UTC", "max_print_line": "1000",
        "openin_any": "p", "openout_any": "p", "shell_escape": "f", "TEXMFOUTPUT": str(folder),
        "SOURCE_DATE_EPOCH": EPOCH, "FORCE_SOURCE_DATE": "1",
    }  # fmt: skip


def _telling(log: str) -> str:
    """The few lines of a log that say what went wrong."""
    lines = log.splitlines()
    for place, line in enumerate(lines):
        if line.startswith("!") or re.match(r"\./?worksheet\.tex:[0-9]+:|worksheet\.tex:[0-9]+:", line):
            return " / ".join(part.strip() for part in lines[place : place + 4] if part.strip())
    return " / ".join(lines[-3:]) or "no log"


def _inspect(log: str) -> None:
    """Refuses a page that lacks a character, or on which something runs over its edge."""
    lost = MISSING.search(log)
    if lost:
        raise Defect(f"the worksheet lacks a character: {lost.group()}")
    for found in OVERFULL.finditer(log):
        if float(found.group(1)) > TOLERATED:
            raise TooWide(f"the worksheet has a line that is too wide: {found.group()}")

"""Pages of a PDF as pictures: PNG of a given size, SVG of what is drawn.

Enters: the bytes of a PDF. Leaves: the bytes of pictures, in the order of the pages. Must not know: frames.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from derive.errors import Defect, ToolMissing

TOOL = "pdftocairo"
SECONDS = 600.0


def require_painter() -> str:
    """The path of the program that paints. Raises ToolMissing where there is none."""
    tool = shutil.which(TOOL)
    if tool is None:
        raise ToolMissing(f"{TOOL} is not on this machine: install poppler-utils (worked/prepare does)")
    return tool


def to_png(pdf: bytes, pages: int, width: int, height: int, *, clear: bool) -> list[bytes]:
    """Each page as PNG of so many dots; ``clear``: without a ground. Raises ToolMissing, Defect."""
    looks = ["-png", "-scale-to-x", str(width), "-scale-to-y", str(height), *(["-transp"] if clear else [])]
    workers = min(os.cpu_count() or 1, 4, pages)
    bounds = [(1 + pages * n // workers, pages * (n + 1) // workers) for n in range(workers)]
    with _LaidOut(pdf) as (tool, folder):

        def paint(bound: tuple[int, int]) -> None:
            first, last = bound
            _run([tool, *looks, "-f", str(first), "-l", str(last), "page.pdf", f"part{first:06}"], folder)

        with ThreadPoolExecutor(workers) as pool:
            list(pool.map(paint, bounds))
        painted = sorted(folder.glob("part*.png"))
        if len(painted) != pages:
            raise Defect(f"{TOOL} painted {len(painted)} of {pages} pages")
        return [path.read_bytes() for path in painted]


def to_svg(pdf: bytes, pages: int) -> list[bytes]:
    """Each page as SVG, letters as outlines. Raises ToolMissing, Defect."""
    with _LaidOut(pdf) as (tool, folder):

        def paint(page: int) -> bytes:
            name = f"page{page}.svg"
            _run([tool, "-svg", "-f", str(page), "-l", str(page), "page.pdf", name], folder)
            return (folder / name).read_bytes()

        with ThreadPoolExecutor(min(os.cpu_count() or 1, 4)) as pool:
            return list(pool.map(paint, range(1, pages + 1)))


class _LaidOut:
    """A fresh folder that holds the PDF, for as long as it is painted."""

    def __init__(self, pdf: bytes) -> None:
        self.pdf = pdf

    def __enter__(self) -> tuple[str, Path]:
        tool = require_painter()
        self.folder = tempfile.TemporaryDirectory(prefix="derive-")
        path = Path(self.folder.name)
        (path / "page.pdf").write_bytes(self.pdf)
        return tool, path

    def __exit__(self, *_: object) -> None:
        self.folder.cleanup()


def _run(command: list[str], folder: Path) -> None:
    try:
        done = subprocess.run(command, cwd=folder, stdin=subprocess.DEVNULL, capture_output=True, timeout=SECONDS)
    except subprocess.TimeoutExpired:
        raise Defect(f"{TOOL} took longer than {SECONDS:g} s") from None
    if done.returncode != 0:
        told = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise Defect(f"{TOOL} could not paint the pages: {told[-1] if told else 'no message'}")

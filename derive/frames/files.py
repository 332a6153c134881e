"""A series as files: a picture, a script and an equation for each frame, numbered in order.

Enters: a series, a size, a ground. Leaves: contents by name. Must not know: circuits, folders.
"""

from __future__ import annotations

from derive.frames.page import Setter
from derive.frames.records import Frame, Ground, Series, Size
from derive.frames.render import require_painter, to_png, to_svg
from derive.frames.script import script_of
from derive.typeset.compile import TooWide, compile_pdf, require_engine
from derive.typeset.sheet import BUDGETS

DOTS: dict[Size, tuple[int, int]] = {"1080": (1920, 1080), "2160": (3840, 2160)}


def files_of(series: Series, size: Size, ground: Ground) -> dict[str, bytes]:
    """The files of a series. Raises ToolMissing before anything is set, Defect."""
    require_engine()
    require_painter()
    frames, equations = _set(series, ground)
    pages = to_png(frames, len(series.frames), *DOTS[size], clear=ground.startswith("clear"))
    stepped = [place for place, frame in enumerate(series.frames) if frame.row is not None and frame.row.algebra]
    drawn = dict(zip(stepped, to_svg(equations, len(stepped)), strict=True)) if stepped else {}
    files: dict[str, bytes] = {}
    for place, (frame, png) in enumerate(zip(series.frames, pages, strict=True)):
        name = name_of(place, frame)
        files[f"{name}.png"] = png
        files[f"{name}.txt"] = script_of(frame).encode()
        if place in drawn:
            files[f"{name}.svg"] = drawn[place]
    return files


def name_of(place: int, frame: Frame) -> str:
    """The name of a frame's files, so that they sort in order."""
    return f"{place + 1:03}-{frame.question}"


def _set(series: Series, ground: Ground) -> tuple[bytes, bytes]:
    """The frames and the equations as PDF, set with narrower lines where one proved too wide."""
    for budget in BUDGETS:
        setter = Setter(series, ground, budget)
        try:
            equations = setter.equations() if any(frame.row and frame.row.algebra for frame in series.frames) else ""
            return compile_pdf(setter.frames(), {}), compile_pdf(equations, {}) if equations else b""
        except TooWide as error:
            last = error
    raise last

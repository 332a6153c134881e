"""Marks of a drawing as SVG: loops beneath the circuit, words and arrows above it.

Enters: marks in their places. Leaves: SVG elements. Must not know: circuits, where marks stand and why.
"""

from __future__ import annotations

from derive.drawing.bands import Traced
from derive.drawing.inks import LOOPS
from derive.drawing.marks import Marked, Shaft
from derive.drawing.note import Note
from derive.drawing.records import Place
from derive.picture.letters import safe
from derive.picture.paper import UNIT, anchored, number, run

HEAD, HALF = 0.65, 0.4
"""Length and half width of the arrowhead on a loop."""
TIP, TIP_HALF = 0.55, 0.32
"""Of the arrow of a response."""


def beneath(marked: Marked) -> list[str]:
    """The bands of loops."""
    return [line for loop in marked.loops for line in _loop(loop)]


def above(marked: Marked) -> list[str]:
    return [*(_shaft(shaft) for shaft in marked.shafts), *(line for note in marked.notes for line in _note(note))]


def _loop(loop: Traced) -> list[str]:
    named = f"loop loop-{loop.pattern % len(LOOPS)}"
    lines = [f'<polyline class="{named}" points="{run(points)}"/>' for points in loop.runs]
    for (x, y), way in loop.heads:
        tip = (x + way[0] * HEAD / 2, y + way[1] * HEAD / 2)
        lines.append(f'<polygon class="{named}-head" points="{run(_head(tip, way, HEAD, HALF))}"/>')
    return lines


def _head(tip: Place, way: Place, length: float, half: float) -> tuple[Place, Place, Place]:
    (x, y), (dx, dy) = tip, way
    back = (x - dx * length, y - dy * length)
    return tip, (back[0] - dy * half, back[1] + dx * half), (back[0] + dy * half, back[1] - dx * half)


def _shaft(shaft: Shaft) -> str:
    (x, foot), (_, tip) = shaft.foot, shaft.tip
    up = 1.0 if tip > foot else -1.0
    neck = (x, tip - up * TIP * 0.9)
    head = _head((x, tip), (0.0, up), TIP, TIP_HALF)
    return (
        f'<g class="response"><polyline points="{run(((x, foot), neck))}"/>'
        f'<polygon points="{run(head)}"/></g>'
    )  # fmt: skip


def _note(note: Note) -> list[str]:
    named = f"loop-note loop-note-{note.pattern % len(LOOPS)}" if note.sort == "loop" else f"{note.sort}-note"
    left, bottom, right, top = note.box
    lines = [f'<polyline class="tie" points="{run(note.tie)}"/>'] if note.tie else []
    if note.sort in ("loop", "badge"):
        radius = (top - bottom) / 2 if note.sort == "loop" else 0.2
        lines.append(
            f'<rect class="{named}" x="{number(UNIT * left)}" y="{number(-UNIT * top)}" '
            f'width="{number(UNIT * (right - left))}" height="{number(UNIT * (top - bottom))}" '
            f'rx="{number(UNIT * radius)}"/>'
        )
    return [*lines, anchored(note.at, safe(note.words), f"note {named}-words", note.anchor)]

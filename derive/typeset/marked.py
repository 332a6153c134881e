"""Marks of a drawing as TikZ source: loops beneath the circuit, words and arrows above it.

Enters: marks in their places. Leaves: lines of source. Must not know: circuits, where marks stand and why.
"""

from __future__ import annotations

from derive.drawing.bands import Traced
from derive.drawing.inks import LOOPS
from derive.drawing.marks import Marked
from derive.drawing.records import Place
from derive.typeset.escape import escape

ANCHORS = {"left": "west", "right": "east", "centre": "center"}
HEAD = 0.45
"""Length of the arrowhead on a loop."""


def _at(place: Place) -> str:
    return f"({place[0]:.2f},{place[1]:.2f})"


def lines_of_loops(loop: Traced) -> list[str]:
    """The band of a loop with its arrowheads."""
    ink = loop.pattern % len(LOOPS)
    lines = [f"\\draw[loop {ink}] {' -- '.join(_at(place) for place in run)};" for run in loop.runs]
    for (x, y), (dx, dy) in loop.heads:
        foot, tip = (x - dx * HEAD / 2, y - dy * HEAD / 2), (x + dx * HEAD / 2, y + dy * HEAD / 2)
        lines.append(f"\\draw[loop head {ink}] {_at(foot)} -- {_at(tip)};")
    return lines


def badges_and_notes(marked: Marked) -> list[str]:
    """Arrows, ties, and words."""
    lines = []
    for shaft in marked.shafts:
        lines.append(f"\\draw[response] {_at(shaft.foot)} -- {_at(shaft.tip)};")
    for note in marked.notes:
        style = f"loop note {note.pattern % len(LOOPS)}" if note.sort == "loop" else f"{note.sort} note"
        if note.tie:
            lines.append(f"\\draw[tie] {_at(note.tie[0])} -- {_at(note.tie[1])};")
        lines.append(f"\\node[{style}, anchor={ANCHORS[note.anchor]}] at {_at(note.at)} {{{escape(note.words)}}};")
    return lines

"""A drawing in words, for whoever cannot see it.

Enters: a drawing and its marks. Leaves: plain text. Must not know: SVG.
"""

from __future__ import annotations

from derive.drawing.records import Drawing, Marks, Wanted


def describe(drawing: Drawing, marks: Marks) -> str:
    """Each part with its value and the nodes at its pins, then the marks."""
    return " ".join([*(_part(placed.part) for placed in drawing.parts), told(marks)]).strip()


def told(marks: Marks) -> str:
    """The marks in words."""
    sentences = []
    if marks.voltages:
        voltages = (f"{v.node} {v.words}" for v in marks.voltages)
        sentences.append(f"Direct voltages: {', '.join(voltages)}.")
    for arrow in marks.arrows:
        sentences.append(f"The voltage of {arrow.node} moves {'up' if arrow.up else 'down'}: {arrow.words}.")
    for loop in marks.loops:
        stops = ", ".join(f"{part} {pin}" for part, pin in loop.through)
        sentences.append(f"Loop {loop.name}, {'negative' if loop.negative else 'positive'}, through {stops}.")
    sentences += [f"{badge.part} is marked {badge.words}." for badge in marks.badges]
    if marks.faded:
        sentences.append(f"Removed: {', '.join(marks.faded)}.")
    return " ".join(sentences)


def _part(part: Wanted) -> str:
    value = f", {part.value}" if part.value else ""
    if len(part.pins) == 2 and {pin for pin, _ in part.pins} == {"first", "second"}:
        joins = f"from {part.pins[0][1]} to {part.pins[1][1]}"
    else:
        joins = ", ".join(f"{pin} at {node}" for pin, node in part.pins)
    return f"{part.name}: {part.kind}{value}, {joins}."

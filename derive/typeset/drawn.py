"""A drawing as circuitikz source: symbols of IEC 60617 on the drawing's own grid.

Enters: a drawing, its marks, the sheet's spelling. Leaves: ``Latex``, a tikzpicture. Must not know: circuits, pages.

The lengths of the symbols are set in ``templates/drawing.tex`` so that leads end at the pins of
``derive.drawing.symbols``; whoever opens the source finds whole numbers as coordinates. All words are escaped; a
part's name is set as the sheet spells it.
"""

from __future__ import annotations

from collections.abc import Iterable

from derive.drawing.marks import Marked, place
from derive.drawing.records import Drawing, Kind, Label, Marks, Place, Placed, Terminal
from derive.drawing.rooms import pins_of
from derive.drawing.symbols import SOURCES, TRANSISTORS
from derive.expression.tree import Sym
from derive.typeset.escape import Latex, escape
from derive.typeset.marked import ANCHORS, badges_and_notes, lines_of_loops
from derive.typeset.spelling import Spelling

UNIT = 4.0
"""A grid unit in mm at natural size."""
TWO_TERMINAL: dict[Kind, str] = {
    "resistor": "european resistor", "capacitor": "capacitor", "inductor": "american inductor",
    "diode": "stroke diode", "battery": "battery1", "voltage source": "european voltage source",
    "current source": "european current source", "controlled current source": "european controlled current source",
    "controlled voltage source": "european controlled voltage source",
}  # fmt: skip
NODES: dict[Kind, str] = {
    "npn": "npn", "pnp": "pnp", "n-jfet": "njfet", "p-jfet": "pjfet", "n-mosfet": "nigfete,solderdot",
    "p-mosfet": "pigfete,solderdot", "op amp": "op amp",
}  # fmt: skip


def picture(drawing: Drawing, marks: Marks, spelling: Spelling, *, width: float, height: float) -> Latex:
    """The drawing as a tikzpicture within ``width`` and ``height`` (mm), smaller as a whole where it has to be."""
    marked = place(drawing, marks)
    left, bottom, right, top = marked.extent
    scale = fitting(marked, width, height)
    lines = [
        *(line for loop in marked.loops for line in lines_of_loops(loop)),
        *(wire(run.points) for run in drawing.wires),
        *(line for part in drawing.parts for line in symbol(part, part.part.name in marked.faded)),
        *(f"\\node[circ] at {point(dot)} {{}};" for dot in drawing.dots),
        *(line for terminal in drawing.terminals for line in local_symbol(terminal)),
        *(line for part in drawing.parts for line in words_of(part, spelling, part.part.name in marked.faded)),
        *(words(label, rf"\textsf{{{escape(label.words)}}}") for _, label in drawing.named),
        *badges_and_notes(marked),
    ]
    body = "\n".join(f"  {line}" for line in lines)
    size = f"[schematic, scale={scale:.4f}, transform shape]" if scale < 1 else "[schematic]"
    box = f"  \\useasboundingbox {point((left, bottom))} rectangle {point((right, top))};"
    return Latex(f"\\begin{{tikzpicture}}{size}\n{box}\n{body}\n\\end{{tikzpicture}}")


def fitting(marked: Marked, width: float, height: float) -> float:
    """By how much a drawing is made smaller to stand within a width and a height (mm)."""
    left, bottom, right, top = marked.extent
    return min(1.0, width / (UNIT * (right - left)), height / (UNIT * (top - bottom)))


def height_of(drawing: Drawing, marks: Marks, width: float, height: float) -> float:
    """The height in mm of a drawing that stands within a width and a height."""
    marked = place(drawing, marks)
    return fitting(marked, width, height) * UNIT * (marked.extent[3] - marked.extent[1])


def point(at: Place) -> str:
    """A place as TikZ writes it.

    >>> point((2, -0.50))
    '(2,-0.5)'
    """
    return f"({number(at[0])},{number(at[1])})"


def number(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def wire(points: Iterable[Place]) -> str:
    return f"\\draw {' -- '.join(point(at) for at in points)};"


def symbol(part: Placed, faded: bool) -> list[str]:
    """The symbol with its leads to the pins."""
    kind, pins = part.part.kind, pins_of(part)
    pale = "[removed] " if faded else " "
    if kind in TWO_TERMINAL:
        first, second = pins.values()
        lines = [f"\\draw{pale}{point(first)} to[{TWO_TERMINAL[kind]}] {point(second)};"]
        return lines + (_direction(kind, first, second, pale) if kind in SOURCES else [])
    options = [NODES[kind], *(["removed"] if faded else [])]
    turn, mirrored = part.turn, part.mirrored
    if (turn, mirrored) == (180, True):
        options.append("yscale=-1")
    else:
        options += [f"rotate={turn}"] if turn else []
        options += ["xscale=-1"] if mirrored else []
    lines = [f"\\node[{', '.join(options)}] ({part.part.name}) at {point(part.at)} {{}};"]
    if kind not in TRANSISTORS:
        anchors = {"plus": "+", "minus": "-", "out": "out"}
        lines += [f"\\draw{pale}({part.part.name}.{anchors[pin]}) -- {point(at)};" for pin, at in pins.items()]
    return lines


def _direction(kind: Kind, first: Place, second: Place, pale: str) -> list[str]:
    """The plus at the first pin of a voltage source, the arrow at the second of a current source."""
    dx, dy = (second[0] - first[0]) / 4, (second[1] - first[1]) / 4
    if "current" in kind:
        foot = (second[0] - 0.85 * dx, second[1] - 0.85 * dy)
        tip = (second[0] - 0.25 * dx, second[1] - 0.25 * dy)
        return [f"\\draw[direction{', removed' if pale.strip() else ''}] {point(foot)} -- {point(tip)};"]
    aside = (first[0] + 0.5 * dx - 0.5 * dy, first[1] + 0.5 * dy + 0.5 * dx)
    return [f"\\node[polarity{', removed' if pale.strip() else ''}] at {point(aside)} {{$+$}};"]


def local_symbol(terminal: Terminal) -> list[str]:
    """Ground, or a bar with the rail's name beyond it."""
    sign = 1 if terminal.way == "above" else -1
    x, y = terminal.at
    if terminal.label is None:
        return [f"\\node[ground{', yscale=-1' if sign > 0 else ''}] at {point(terminal.at)} {{}};"]
    bar = y + 0.5 * sign
    anchor = "south" if sign > 0 else "north"
    return [
        f"\\draw {point(terminal.at)} -- {point((x, bar))};",
        f"\\draw[rail] {point((x - 0.7, bar))} -- {point((x + 0.7, bar))};",
        f"\\node[anchor={anchor}, words] at {point((x, bar + 0.25 * sign))} {{{escape(terminal.label)}}};",
    ]


def words_of(part: Placed, spelling: Spelling, faded: bool) -> list[str]:
    """Name and value beside the symbol."""
    style = ", removed words" if faded else ""
    return [
        words(
            label,
            f"${spelling.spell(Sym(part.part.name)).latex}$"
            if label.words == part.part.name
            else str(escape(label.words)),
            style,
        )
        for label in part.labels
    ]


def words(label: Label, latex: str, style: str = "") -> str:
    return f"\\node[anchor={ANCHORS[label.anchor]}, words{style}] at {point(label.at)} {{{latex}}};"

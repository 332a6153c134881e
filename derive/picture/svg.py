"""A drawing as SVG: one well-formed element that stands alone or within a page.

Enters: a drawing, its marks, the sheet's spelling. Leaves: text. Must not know: circuits, pages, TeX.

Lines take the colour of the text around them; marks have classes, whose colours follow a light or a dark ground
(``style``). Title and description are read out by screen readers.
"""

from __future__ import annotations

from collections.abc import Iterable

from derive.drawing.marks import Marked, place
from derive.drawing.records import Drawing, Label, Marks, Place, Placed, Terminal
from derive.drawing.symbols import turned
from derive.expression.tree import Sym
from derive.picture.described import describe
from derive.picture.letters import safe, spelt
from derive.picture.looks import style
from derive.picture.marked import above, beneath
from derive.picture.paper import UNIT, anchored, at, number, run
from derive.picture.strokes import GROUND, INPUTS, RAIL, SIGN, STROKES, Bow, Circle, Line, Stroke
from derive.typeset.spelling import Spelling

DOT = 0.19
"""Radius of a junction."""


def svg(drawing: Drawing, marks: Marks, spelling: Spelling, *, title: str, key: str, alone: bool = True) -> str:
    """The drawing as an SVG element.

    ``key``: a name that no other element of the page has, for the references of title and description. ``alone``:
    whether it brings its own style; within a page ``looks.style`` stands once.
    """
    marked = place(drawing, marks)
    left, bottom, right, top = marked.extent
    box = f"{number(UNIT * left)} {number(-UNIT * top)} {number(UNIT * (right - left))} {number(UNIT * (top - bottom))}"
    size = f'width="{number(UNIT * (right - left))}" height="{number(UNIT * (top - bottom))}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" class="schematic" viewBox="{box}" {size} role="img" '
        f'aria-labelledby="{safe(key)}-title {safe(key)}-desc">',
        f'<title id="{safe(key)}-title">{safe(title)}</title>',
        f'<desc id="{safe(key)}-desc">{safe(describe(drawing, marks))}</desc>',
        *([f"<style>{style()}</style>"] if alone else []),
        *beneath(marked),
        *(f'<polyline class="wire" points="{run(wire.points)}"/>' for wire in drawing.wires),
        *(_symbol(part, part.part.name in marked.faded) for part in drawing.parts),
        *(f'<circle class="dot" cx="{number(UNIT * x)}" cy="{number(-UNIT * y)}" r="{number(UNIT * DOT)}"/>'
          for x, y in drawing.dots),
        *(line for terminal in drawing.terminals for line in _local(terminal)),
        *(line for part in drawing.parts for line in _words(part, spelling, marked)),
        *(_text(label, safe(label.words), "node") for _, label in drawing.named),
        *above(marked),
        "</svg>",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def strokes(shapes: Iterable[Stroke]) -> str:
    """Strokes in the symbol's own frame."""
    return "".join(_stroke(shape) for shape in shapes)


def _stroke(shape: Stroke) -> str:
    match shape:
        case Line(points, closed, filled, strong):
            kind = "fill" if filled else "strong" if strong else ""
            named = f' class="{kind}"' if kind else ""
            return f'<{"polygon" if closed else "polyline"}{named} points="{run(points)}"/>'
        case Circle((x, y), radius, filled):
            named = ' class="fill"' if filled else ""
            return f'<circle{named} cx="{number(UNIT * x)}" cy="{number(-UNIT * y)}" r="{number(UNIT * radius)}"/>'
        case Bow(start, end):
            half = number(UNIT * (end[0] - start[0]) / 2)
            return f'<path d="M{at(start)}A{half} {half} 0 0 1 {at(end)}"/>'


def _symbol(part: Placed, faded: bool) -> str:
    move = f"translate({at(part.at)})"
    turn = f" rotate({-part.turn})" if part.turn else ""
    mirror = " scale(-1 1)" if part.mirrored else ""
    kind = part.part.kind
    shape = f'<g transform="{move}{turn}{mirror}">{strokes(STROKES[kind])}</g>'
    if kind == "op amp":
        shape += _signs(part)
    named = "symbol removed" if faded else "symbol"
    return f'<g class="{named}" data-part="{safe(part.part.name)}">{shape}</g>'


def _signs(part: Placed) -> str:
    """Plus and minus at the inputs of an op amp, level on the page."""
    lines: list[Stroke] = []
    for pin, place_ in INPUTS.items():
        dx, dy = turned(place_, part.turn, part.mirrored)
        x, y = part.at[0] + dx, part.at[1] + dy
        lines.append(Line(((x - SIGN, y), (x + SIGN, y))))
        if pin == "plus":
            lines.append(Line(((x, y - SIGN), (x, y + SIGN))))
    return strokes(lines)


def _local(terminal: Terminal) -> list[str]:
    x, y = terminal.at
    up = terminal.way == "above"
    shape = GROUND if terminal.label is None else RAIL
    flipped = " scale(1 -1)" if up == (terminal.label is None) else ""
    lines = [f'<g class="symbol" transform="translate({at((x, y))}){flipped}">{strokes(shape)}</g>']
    if terminal.label is not None:
        lines.append(_text(Label(terminal.label, (x, y + (1.15 if up else -1.15))), safe(terminal.label), "rail"))
    return lines


def _words(part: Placed, spelling: Spelling, marked: Marked) -> list[str]:
    faded = " removed-words" if part.part.name in marked.faded else ""
    lines = []
    for label in part.labels:
        name = label.words == part.part.name
        text = spelt(spelling.spell(Sym(part.part.name))) if name else safe(label.words)
        lines.append(_text(label, text, ("name" if name else "value") + faded))
    return lines


def _text(label: Label, inner: str, named: str) -> str:
    place_: Place = label.at
    return anchored(place_, inner, f"words {named}", label.anchor)

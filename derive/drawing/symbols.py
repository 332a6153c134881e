"""The table of symbols: where the pins of each kind lie, what room its body takes, where its words may stand.

Enters: a kind, a turn, whether it is mirrored. Leaves: pins, boxes and label places in grid units around its centre.
Must not know: LaTeX, SVG, where a part stands, what a circuit does.

A unit is 4 mm at natural size, so that the usual symbols of IEC 60617 meet these pins with short leads. A symbol is
mirrored left to right first, then turned counter-clockwise. As the table has it, a two-terminal part lies with
its first pin on the left, so that 270 stands it up with the first pin on top; a transistor has its control on the
left; the n-types have collector or drain on top, the p-types emitter or source. An arrow of a current source points
from its first pin to its second. A JFET's gate is one unit nearer to its source. Controlled sources show no
sensing pins. An op amp as the table has it shows its minus on top; mirrored and turned by 180 its plus.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.drawing.records import Kind, Label, Place, Point, Turn

CHARACTER = 0.62
"""Width of a character."""
LINE = 1.05
"""Height of a line of words."""
GAP = 0.3
"""Between a body and the words beside it."""

Box: TypeAlias = tuple[float, float, float, float]
"""Left, bottom, right, top."""
Side: TypeAlias = Literal["right", "left", "above", "below", "upper left", "lower left", "upper right", "lower right"]


@dataclass(frozen=True)
class Symbol:
    """``pins`` in the order in which a ``Wanted`` has them; ``box``: the body and its leads, all but the last
    half unit before each pin: no wire and no words may lie in it."""

    pins: tuple[tuple[str, Point], ...]
    box: Box


def _along(names: tuple[str, str], half: float) -> Symbol:
    return Symbol(((names[0], (-2, 0)), (names[1], (2, 0))), (-1.5, -half, 1.5, half))


def _transistor(names: tuple[str, str, str], control: int = 0) -> Symbol:
    """Control, then the channel's upper and its lower pin."""
    places: tuple[Point, Point, Point] = ((-2, control), (0, 2), (0, -2))
    return Symbol(tuple(zip(names, places, strict=True)), (-1.6, -1.6, 0.25, 1.6))


_ENDS = ("first", "second")
SYMBOLS: Mapping[Kind, Symbol] = {
    "resistor": _along(_ENDS, 0.55),
    "inductor": _along(_ENDS, 0.6),
    "capacitor": _along(_ENDS, 1.05),
    "diode": _along(("anode", "cathode"), 0.75),
    "battery": _along(_ENDS, 1.05),
    "voltage source": _along(_ENDS, 1.1),
    "current source": _along(_ENDS, 1.1),
    "controlled current source": _along(_ENDS, 1.1),
    "controlled voltage source": _along(_ENDS, 1.1),
    "npn": _transistor(("base", "collector", "emitter")),
    "pnp": _transistor(("base", "emitter", "collector")),
    "n-mosfet": _transistor(("gate", "drain", "source")),
    "p-mosfet": _transistor(("gate", "source", "drain")),
    "n-jfet": _transistor(("gate", "drain", "source"), -1),
    "p-jfet": _transistor(("gate", "source", "drain"), 1),
    "op amp": Symbol((("plus", (-3, -1)), ("minus", (-3, 1)), ("out", (3, 0))), (-2.2, -2.0, 2.2, 2.0)),
}

TRANSISTORS: frozenset[Kind] = frozenset({"npn", "pnp", "n-jfet", "p-jfet", "n-mosfet", "p-mosfet"})
SOURCES: frozenset[Kind] = frozenset(
    {"voltage source", "current source", "battery", "controlled current source", "controlled voltage source"}
)


def turned(place: Place, turn: Turn, mirrored: bool) -> Place:
    """A place of the table after mirroring left to right, then turning counter-clockwise.

    >>> turned((-2, 0), 270, False), turned((-3, 1), 180, True)
    ((0, 2), (-3, -1))
    """
    x, y = (-place[0], place[1]) if mirrored else place
    match turn:
        case 0:
            return x, y
        case 90:
            return -y, x
        case 180:
            return -x, -y
        case _:
            return y, -x


def pins(kind: Kind, turn: Turn, mirrored: bool) -> dict[str, Point]:
    """Where the pins lie, seen from the symbol's place."""
    found = {}
    for name, place in SYMBOLS[kind].pins:
        x, y = turned(place, turn, mirrored)
        found[name] = (int(x), int(y))
    return found


def body(kind: Kind, turn: Turn, mirrored: bool) -> Box:
    """The body's box, seen from the symbol's place."""
    left, bottom, right, top = SYMBOLS[kind].box
    (a, b), (c, d) = turned((left, bottom), turn, mirrored), turned((right, top), turn, mirrored)
    return min(a, c), min(b, d), max(a, c), max(b, d)


def sides(kind: Kind, turn: Turn, mirrored: bool) -> tuple[Side, ...]:
    """Where words may stand, the customary place first."""
    if kind == "op amp":
        right = turned((1, 0), turn, mirrored)[0] >= 0
        return ("upper right", "lower right") if right else ("upper left", "lower left")
    if kind in TRANSISTORS:
        if turn in (90, 270):
            return ("above", "below") if turned((1, 0), turn, mirrored)[1] > 0 else ("below", "above")
        # Beside the channel, or in the corners on the control's side.
        if turned((1, 0), turn, mirrored)[0] > 0:
            return "right", "upper left", "lower left"
        return "left", "upper right", "lower right"
    return ("above", "below") if turn in (0, 180) else ("right", "left")


def labels(words: Sequence[str], side: Side, box: Box) -> tuple[Label, ...]:
    """The lines of words on one side of a box, one below the other."""
    lines = [line for line in words if line]
    left, bottom, right, top = box
    height = LINE * len(lines)
    middle: float
    match side:
        case "right" | "left":
            x, middle = (right + GAP, (top + bottom) / 2) if side == "right" else (left - GAP, (top + bottom) / 2)
        case "above":
            x, middle = (left + right) / 2, top + GAP / 2 + height / 2
        case "below":
            x, middle = (left + right) / 2, bottom - GAP / 2 - height / 2
        case "upper left" | "lower left":
            x = left + (right - left) * 0.55
            middle = top - 0.2 + height / 2 if side == "upper left" else bottom + 0.2 - height / 2
        case _:
            x = right - (right - left) * 0.55
            middle = top - 0.2 + height / 2 if side == "upper right" else bottom + 0.2 - height / 2
    anchor: Literal["left", "centre", "right"] = (
        "centre" if side in ("above", "below") else "right" if side.endswith("left") else "left"
    )
    first = middle + height / 2 - LINE / 2
    return tuple(Label(line, (round(x, 3), round(first - LINE * n, 3)), anchor) for n, line in enumerate(lines))


def label_box(label: Label) -> Box:
    """The room of one line of words."""
    width, (x, y) = CHARACTER * len(label.words), label.at
    left = x if label.anchor == "left" else x - width if label.anchor == "right" else x - width / 2
    return left, y - LINE / 2, left + width, y + LINE / 2


def terminal_box(label: str | None, way: Literal["above", "below"]) -> Box:
    """The room of a local symbol, seen from its place: of ground (no label), or a bar with its label beyond it."""
    if label is None:
        return (-0.7, -1.4, 0.7, 0.0) if way == "below" else (-0.7, 0.0, 0.7, 1.4)
    half = max(0.7, CHARACTER * len(label) / 2)
    return (-half, -0.6 - LINE, half, 0.0) if way == "below" else (-half, 0.0, half, 0.6 + LINE)

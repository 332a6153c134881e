"""A drawn circuit as geometry: symbols on a grid, wires, dots, and the marks that explain it.

Enters: nothing. Leaves: the records that the layout fills and that the writers (circuitikz, SVG) turn into pictures.
Must not know: LaTeX, SVG, how a place was found, what a circuit does.

Places are whole grid units, x to the right and y upwards. A symbol is drawn as its table entry says
(``derive.drawing.symbols``: pins, body, label places), then mirrored left to right if asked, then turned
counter-clockwise.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[int, int]
Turn: TypeAlias = Literal[0, 90, 180, 270]
Place: TypeAlias = tuple[float, float]

Kind: TypeAlias = Literal[
    "resistor", "capacitor", "inductor", "diode", "npn", "pnp", "n-jfet", "p-jfet", "n-mosfet", "p-mosfet", "op amp",
    "voltage source", "current source", "battery", "controlled current source", "controlled voltage source",
]  # fmt: skip


@dataclass(frozen=True)
class Wanted:
    """A part to be drawn: its symbol, the node at each pin, and the words beside it (name, then value).

    ``pins``: pin name of the symbol to node, in the order of the symbol's table.
    """

    name: str
    kind: Kind
    pins: tuple[tuple[str, str], ...]
    value: str = ""


@dataclass(frozen=True)
class Wish:
    """What is to be drawn, and everything that decides where: no geometry yet.

    ``rails``: nodes that are drawn as local symbols at each pin (supplies and ground), with their label.
    ``level``: how high a node lies, by its direct voltage in volts (absent: unknown).
    ``path``: the nodes of the signal path in order; ``towards``: for a part, the order of nodes in which the
    signal passes (from, to). ``backwards``: parts that feed back. ``pairs``: names of devices to stand level and
    mirrored. ``named``: nodes whose name is written at their wire.
    """

    parts: tuple[Wanted, ...]
    ground: str
    rails: tuple[tuple[str, str, Literal["above", "below"]], ...] = ()
    level: tuple[tuple[str, float], ...] = ()
    path: tuple[str, ...] = ()
    towards: tuple[tuple[str, str, str], ...] = ()
    backwards: tuple[str, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    columns: tuple[tuple[str, ...], ...] = ()
    at: tuple[tuple[str, Point], ...] = ()
    turned: tuple[tuple[str, Turn], ...] = ()
    named: tuple[str, ...] = ()


@dataclass(frozen=True)
class Label:
    """Words at a place: the middle of their left edge, centre, or right edge stands there."""

    words: str
    at: Place
    anchor: Literal["left", "centre", "right"] = "centre"


@dataclass(frozen=True)
class Placed:
    """A symbol in its place. ``label`` holds name and value, one below the other where both are given."""

    part: Wanted
    at: Point
    turn: Turn
    mirrored: bool
    labels: tuple[Label, ...]


@dataclass(frozen=True)
class Wire:
    """A run of wire of one node: consecutive points differ in x or in y only."""

    node: str
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Terminal:
    """A local symbol of a rail or of ground at a place; ``way``: where the symbol points away from the wire."""

    node: str
    at: Point
    way: Literal["above", "below"]
    label: str | None
    """None: ground."""


@dataclass(frozen=True)
class Drawing:
    """A whole drawing. ``dots``: where three or more arms of one node meet. ``named``: node names at their wires."""

    parts: tuple[Placed, ...]
    wires: tuple[Wire, ...]
    dots: tuple[Point, ...]
    terminals: tuple[Terminal, ...]
    named: tuple[tuple[str, Label], ...]
    crossings: int = 0


@dataclass(frozen=True)
class Voltage:
    """A direct voltage written at a node's wire."""

    node: str
    words: str
    at: Label | None = None


@dataclass(frozen=True)
class Arrow:
    """How a node answers: up or down, its length by ``size`` (0 to 1), with words beside it."""

    node: str
    up: bool
    size: float
    words: str


@dataclass(frozen=True)
class Loop:
    """A feedback loop: the pins it passes, in order (part, pin), its sign, its name. ``pattern``: 0, 1, 2…: colour
    and dash together."""

    name: str
    through: tuple[tuple[str, str], ...]
    negative: bool
    pattern: int


@dataclass(frozen=True)
class Badge:
    """A mark at a part: the factor by which a bootstrap magnifies it."""

    part: str
    words: str


@dataclass(frozen=True)
class Marks:
    voltages: tuple[Voltage, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    loops: tuple[Loop, ...] = ()
    badges: tuple[Badge, ...] = ()
    faded: tuple[str, ...] = field(default=())
    """Parts that an approximation has removed: drawn pale and dashed."""

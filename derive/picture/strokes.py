"""Our own strokes for each symbol, so that a drawing needs no TeX: outlines after IEC 60617 in grid units.

Enters: a kind. Leaves: strokes around the symbol's centre, in the frame of ``derive.drawing.symbols``, leads and all.
Must not know: SVG's spelling, where a part stands, what a circuit does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from derive.drawing.records import Kind, Place


@dataclass(frozen=True)
class Line:
    """A run of straight pieces. ``filled``: a closed, filled outline; ``strong``: a plate or a channel."""

    points: tuple[Place, ...]
    closed: bool = False
    filled: bool = False
    strong: bool = False


@dataclass(frozen=True)
class Circle:
    centre: Place
    radius: float
    filled: bool = False


@dataclass(frozen=True)
class Bow:
    """A half circle above the line from one place to another on its right."""

    start: Place
    end: Place


Stroke: TypeAlias = Line | Circle | Bow


def _line(*points: Place, strong: bool = False) -> Line:
    return Line(points, strong=strong)


def _arrow(foot: Place, tip: Place, length: float = 0.5, width: float = 0.42) -> Line:
    """A filled arrowhead that ends at the tip of a run."""
    dx, dy = tip[0] - foot[0], tip[1] - foot[1]
    size = (dx * dx + dy * dy) ** 0.5
    dx, dy = dx / size, dy / size
    back = (tip[0] - length * dx, tip[1] - length * dy)
    left = (back[0] - dy * width / 2, back[1] + dx * width / 2)
    right = (back[0] + dy * width / 2, back[1] - dx * width / 2)
    return Line((tip, left, right), closed=True, filled=True)


def _leads(half: float) -> tuple[Line, Line]:
    return _line((-2, 0), (-half, 0)), _line((half, 0), (2, 0))


def _plus(x: float, y: float, size: float = 0.22) -> tuple[Line, Line]:
    return _line((x - size, y), (x + size, y)), _line((x, y - size), (x, y + size))


def _source(controlled: bool, current: bool) -> tuple[Stroke, ...]:
    half = 1.05
    outline: Stroke = Circle((0, 0), half)
    if controlled:
        outline = Line(((-half, 0), (0, half), (half, 0), (0, -half)), closed=True)
    inside = _line((0, -half), (0, half)) if current else _line((-half, 0), (half, 0))
    sign = (_arrow((half, 0), (1.85, 0)),) if current else _plus(-1.5, 0.55)
    return (outline, inside, *_leads(half), *sign)


def _bipolar(n_type: bool) -> tuple[Stroke, ...]:
    upper, lower = ((-1, 0.45), (0, 1.2)), ((-1, -0.45), (0, -1.2))
    foot, tip = lower if n_type else upper[::-1]
    middle = (foot[0] + 0.72 * (tip[0] - foot[0]), foot[1] + 0.72 * (tip[1] - foot[1]))
    return (
        _line((-2, 0), (-1, 0)), _line((-1, 0.9), (-1, -0.9), strong=True),
        _line(*upper, (0, 2)), _line(*lower, (0, -2)), _arrow(foot, middle),
    )  # fmt: skip


def _junction(n_type: bool) -> tuple[Stroke, ...]:
    y = -1.0 if n_type else 1.0
    arrow = _arrow((-2, y), (-1.02, y)) if n_type else _arrow((-1, y), (-1.75, y))
    return (
        _line((-2, y), (-1, y)), _line((-1, 1.25), (-1, -1.25), strong=True),
        _line((-1, 1), (0, 1), (0, 2)), _line((-1, -1), (0, -1), (0, -2)), arrow,
    )  # fmt: skip


def _insulated(n_type: bool) -> tuple[Stroke, ...]:
    """Enhancement type: a broken channel, the bulk tied to the source."""
    source = -0.75 if n_type else 0.75
    arrow = _arrow((0, 0), (-0.97, 0)) if n_type else _arrow((-1, 0), (-0.2, 0))
    return (
        _line((-2, 0), (-1.3, 0)), _line((-1.3, 0.75), (-1.3, -0.75), strong=True),
        *(_line((-1, y + 0.27), (-1, y - 0.27), strong=True) for y in (0.75, 0.0, -0.75)),
        _line((-1, 0.75), (0, 0.75), (0, 2)), _line((-1, -0.75), (0, -0.75), (0, -2)),
        _line((-1, 0), (0, 0), (0, source)), arrow, Circle((0, source), 0.14, filled=True),
    )  # fmt: skip


STROKES: Mapping[Kind, tuple[Stroke, ...]] = {
    "resistor": (Line(((-1.45, -0.5), (1.45, -0.5), (1.45, 0.5), (-1.45, 0.5)), closed=True), *_leads(1.45)),
    "inductor": (*(Bow((-1.4 + 0.7 * n, 0), (-0.7 + 0.7 * n, 0)) for n in range(4)), *_leads(1.4)),
    "capacitor": (
        _line((-0.3, -1), (-0.3, 1), strong=True), _line((0.3, -1), (0.3, 1), strong=True), *_leads(0.3),
    ),
    "diode": (
        Line(((-0.55, 0.65), (-0.55, -0.65), (0.55, 0)), closed=True), _line((0.55, 0.7), (0.55, -0.7), strong=True),
        _line((-2, 0), (2, 0)),
    ),
    "battery": (
        _line((-0.25, -1), (-0.25, 1)), _line((0.25, -0.5), (0.25, 0.5), strong=True), *_leads(0.25),
        *_plus(-0.9, 0.55),
    ),
    "voltage source": _source(False, False),
    "current source": _source(False, True),
    "controlled voltage source": _source(True, False),
    "controlled current source": _source(True, True),
    "npn": _bipolar(True), "pnp": _bipolar(False),
    "n-jfet": _junction(True), "p-jfet": _junction(False),
    "n-mosfet": _insulated(True), "p-mosfet": _insulated(False),
    "op amp": (
        Line(((-1.7, 2), (-1.7, -2), (1.7, 0)), closed=True),
        _line((-3, 1), (-1.7, 1)), _line((-3, -1), (-1.7, -1)), _line((1.7, 0), (3, 0)),
    ),
}  # fmt: skip

GROUND: tuple[Stroke, ...] = (
    _line((0, 0), (0, -0.5)), _line((-0.7, -0.5), (0.7, -0.5), strong=True),
    _line((-0.43, -0.78), (0.43, -0.78), strong=True), _line((-0.18, -1.06), (0.18, -1.06), strong=True),
)  # fmt: skip
"""Ground, pointing down."""
RAIL: tuple[Stroke, ...] = (_line((0, 0), (0, 0.5)), _line((-0.7, 0.5), (0.7, 0.5), strong=True))
"""A rail's bar, pointing up."""
INPUTS: Mapping[str, Place] = {"plus": (-1.2, -1.0), "minus": (-1.2, 1.0)}
"""Where an op amp's signs stand; they are drawn level however the symbol is turned."""
SIGN = 0.25
"""Half the width of these signs."""

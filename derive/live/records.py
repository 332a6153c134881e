"""What may be varied on a page, and how each number follows: responses and formulas.

Enters: nothing. Leaves: records that ``derive.live.recognise`` fills and ``derive.web`` turns into a script.
Must not know: circuits on one side, scripts on the other.

Values of sliders come in the order of ``Live.sliders``. Everything else keeps its number at the description's bias
point.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from derive.expression.tree import Expr

Term = tuple[float, int, tuple[int, ...]]
"""A coefficient, a power of s, and the power of each slider."""


@dataclass(frozen=True)
class Slider:
    """A symbol whose value may be varied. ``unit`` and ``value`` in SI base units."""

    name: str
    unit: str
    value: float


@dataclass(frozen=True)
class Response:
    """N(s)/D(s) with the sliders as variables: exactly the kernel's answer, all other symbols in numbers."""

    above: tuple[Term, ...]
    below: tuple[Term, ...]


@dataclass(frozen=True)
class Spot:
    """The value of a response at the spot frequency. ``of``: its place in ``Live.responses``."""

    of: int


@dataclass(frozen=True)
class Formula:
    """The value of an expression in which every name but the sliders' has been replaced by a number or a recipe.

    ``names``: recipes of the symbols and names in it, by the name of a ``Sym`` or the record of another atom.
    """

    tree: Expr
    names: tuple[tuple[str | Expr, Recipe], ...]


@dataclass(frozen=True)
class Constant:
    value: complex


@dataclass(frozen=True)
class Varied:
    """The value of a slider by its place."""

    place: int


@dataclass(frozen=True)
class Combined:
    """Arithmetic between recipes: a difference, a quotient, a product; an error is |a/b - 1|."""

    how: Literal["minus", "over", "times", "error"]
    first: Recipe
    second: Recipe


@dataclass(frozen=True)
class Shown:
    """A real number made of a complex one: its magnitude, real or imaginary part, times a scale."""

    part: Literal["whole", "abs", "real", "imag"]
    of: Recipe
    scale: float = 1.0


Recipe: TypeAlias = Spot | Formula | Constant | Varied | Combined | Shown


@dataclass(frozen=True)
class Found:
    """How one reading of the page follows: its recipe, or None for a number that stays at the description's values."""

    recipe: Recipe | None


@dataclass(frozen=True)
class Moved:
    """The responses whose curves a plot shows: places in ``Live.responses``."""

    stem: str
    exact: int
    approximate: int | None


@dataclass(frozen=True)
class Live:
    """All that a script needs. ``found``: by ``id`` of the reading, for every reading that the sliders may change;
    what is not in it does not depend on them. ``spot`` in Hz.
    """

    sliders: tuple[Slider, ...]
    spot: float
    responses: tuple[Response, ...]
    found: dict[int, Found]
    plots: tuple[Moved, ...]

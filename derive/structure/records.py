"""What the search for a short form finds.

Enters: nothing. Leaves: records. Must not know: words, LaTeX.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from derive.algebra.spectrum import Spectrum
from derive.approximate.error import Error
from derive.expression.tree import Expr, Name
from derive.structure.factored import Factored
from derive.structure.thinning import Removal


@dataclass(frozen=True)
class Recipe:
    """How a form was made: ``removals`` taken out of the network, couplings up to ``threshold`` taken for nothing,
    in each sum no more than ``tolerance`` of it dropped by size, ``separated``: its roots taken as far apart.
    """

    removals: int
    threshold: float
    tolerance: float
    separated: bool = False


@dataclass(frozen=True)
class Stage:
    """A group of coupled elements that gave a factor of more than one term, and in which sides it stands."""

    elements: tuple[str, ...]
    side: Literal["numerator", "denominator", "both"]


@dataclass(frozen=True)
class Candidate:
    """One form: its product of factors, its exact spectrum at the circuit's numbers, and what was done for it.

    ``separation``: the least ratio of neighbouring roots where these were taken as far apart; None otherwise.
    ``worst`` is the largest error found in the band, ``symbols`` how many symbols a reader has to hold.
    """

    recipe: Recipe
    factored: Factored
    spectrum: Spectrum
    removals: tuple[Removal, ...]
    stages: tuple[Stage, ...]
    by_statement: tuple[tuple[int, int], ...]
    by_size: int
    separation: float | None
    worst: float

    @property
    def symbols(self) -> int:
        return self.factored.symbols


@dataclass(frozen=True)
class Point:
    """A point of the frontier of error against length: no shorter form found has a smaller error."""

    symbols: int
    worst: float


@dataclass(frozen=True)
class Piece:
    """A named piece of a form: a factor, a corner, a ratio. ``value`` at the circuit's numbers, in ``unit``.

    ``terms``: how many terms it has; ``kind`` corner and quality are those of a factor in s.
    """

    name: Name
    tree: Expr
    value: complex
    unit: str
    kind: Literal["factor", "corner", "quality", "ratio"] = "factor"
    terms: int = 0


@dataclass(frozen=True)
class Written:
    """A form as algebra: ``tree`` in symbols and in the names of ``pieces``. ``cost``: what it asks of a reader."""

    tree: Expr
    pieces: tuple[Piece, ...]
    cost: float


@dataclass(frozen=True)
class Short:
    """The short form of an answer that was chosen, with its measured error.

    ``within``: the error that was asked for; ``reached`` tells whether the form stays below. ``exact``: nothing was
    left out. ``subexpressions``: parts of the form with a number of their own. ``branches``: of a port's budget;
    ``left_out``: the parts that are no branch, and how much of the current they draw at most in the band. ``begun``:
    the statements whose limits were taken in the network first.
    """

    written: Written
    spectrum: Spectrum
    error: Error
    within: Fraction
    candidate: Candidate | None
    frontier: tuple[Point, ...]
    subexpressions: tuple[tuple[Expr, Fraction, str], ...] = ()
    branches: tuple[Branch, ...] = ()
    left_out: tuple[tuple[str, float], ...] = ()
    exact: bool = False
    begun: tuple[int, ...] = ()

    @property
    def reached(self) -> bool:
        return self.error.worst <= self.within


@dataclass(frozen=True)
class Branch:
    """One branch of a port's budget: the parts that end at ``far``, and how the voltage across them compares."""

    symbols: tuple[str, ...]
    far: str
    follows: Candidate | None
    piece: Name | None
    share: float

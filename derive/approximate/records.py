"""Statements resolved against the network, and what they do to an answer.

Enters: nothing. Leaves: records; one that approximates without a measured error cannot be constructed.
Must not know: LaTeX, how statements were parsed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from derive.algebra.ratio import Ratio
from derive.algebra.ring import Exponents
from derive.algebra.spectrum import Spectrum
from derive.approximate.error import Error
from derive.circuit.records import Statement

Verdict = Literal["holds", "weak", "false"]


@dataclass(frozen=True)
class Generator:
    """A stated ratio between two monomials: the exponents of larger/smaller over the ring, and its number."""

    statement: int
    exponents: Exponents
    value: Fraction


@dataclass(frozen=True)
class Limit:
    """What a limit does to the network: elements deleted, elements contracted."""

    statement: int
    deleted: tuple[str, ...]
    contracted: tuple[str, ...]


@dataclass(frozen=True)
class Resolved:
    """A statement with its meaning: either generators of the cone, or a limit of the network."""

    statement: Statement
    generators: tuple[Generator, ...] = ()
    limit: Limit | None = None

    @property
    def number(self) -> int:
        return self.statement.number

    @property
    def ratio(self) -> Fraction | None:
        """The smallest of its ratios at this bias point; None for a limit."""
        return min((g.value for g in self.generators), default=None)


@dataclass(frozen=True)
class Dropped:
    """A term that was dropped, the term that dominates it, and the powers of the stated ratios between them."""

    part: Literal["numerator", "denominator"]
    power_of_s: int
    term: Exponents
    dominated_by: Exponents
    powers: tuple[tuple[int, Fraction], ...]
    """Number of the statement and its power; powers are not negative and add up to at least one."""


@dataclass(frozen=True)
class Reduced:
    """An answer under some statements. ``ratio`` None: too many terms to write out. ``spectrum`` None: infinite.
    ``kept_whole``: sums (part, power of s) in which terms nearly cancel, so that nothing was dropped.
    """

    ratio: Ratio | None
    spectrum: Spectrum | None
    terms: tuple[int, int]
    dropped: tuple[Dropped, ...] = ()
    kept_whole: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class Effect:
    """What one statement does to one answer: alone, and with all statements before it."""

    statement: int
    alone: Error
    together: Error
    reduced: Reduced
    """The answer under this statement and all before it."""
    used: bool
    """Whether it changed the answer at all."""


@dataclass(frozen=True)
class Certified:
    """Proved bounds of the error, relative to the peak where |exact| is under a thousandth of it in the band.

    ``band``: over the band at the numbers as they stand; ``tolerances``: over the band and all ``symbols`` with their
    tolerances (fractions), all others held. None where not proved; ``why`` then says in words what kept it from being
    certified over the tolerances. ``boxes``: into how many boxes frequencies and tolerances were divided.
    """

    band: float | None
    tolerances: float | None
    symbols: tuple[tuple[str, Fraction], ...] = ()
    boxes: int = 0
    why: str = ""


@dataclass(frozen=True)
class Approximate:
    """An answer under all its statements, with its measured error and the effect of each statement.

    ``certified``: proved bounds of the error, None where not asked for.
    """

    reduced: Reduced
    error: Error
    effects: tuple[Effect, ...]
    certified: Certified | None = None

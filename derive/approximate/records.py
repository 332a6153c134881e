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
    """A stated ratio between two monomials: the exponents of larger/smaller over the ring, and its number.

    The power of s stands for that of the frequency w. ``factor`` is the pure number in the ratio, ``at`` the
    frequency in Hz at which it was measured where it depends on frequency: the unfavourable end of the band.
    """

    statement: int
    exponents: Exponents
    value: Fraction
    factor: Fraction = Fraction(1)
    at: Fraction | None = None


@dataclass(frozen=True)
class Equality:
    """Two products stated to be alike: the product of the symbols with these exponents is stated to be ``factor``.

    ``value``: left over right at this bias point, one where they are alike indeed.
    """

    statement: int
    exponents: Exponents
    factor: Fraction
    value: Fraction


@dataclass(frozen=True)
class Limit:
    """What a limit does to the network: elements deleted, elements contracted."""

    statement: int
    deleted: tuple[str, ...]
    contracted: tuple[str, ...]


@dataclass(frozen=True)
class Resolved:
    """A statement with its meaning: generators of the cone, a limit of the network, or equalities of symbols."""

    statement: Statement
    generators: tuple[Generator, ...] = ()
    limit: Limit | None = None
    equalities: tuple[Equality, ...] = ()

    @property
    def number(self) -> int:
        return self.statement.number

    @property
    def ratio(self) -> Fraction | None:
        """The smallest of its ratios at this bias point; None for a limit and for an equality."""
        return min((g.value for g in self.generators), default=None)


@dataclass(frozen=True)
class Dropped:
    """A term that was dropped, the term that dominates it, and the powers of the stated ratios between them.

    Both terms are in one power of s, unless frequency was stated to be small or large.
    """

    part: Literal["numerator", "denominator"]
    power_of_s: int
    term: Exponents
    dominated_by: Exponents
    powers: tuple[tuple[int, Fraction], ...]
    """Number of the statement and its power; powers are not negative and add up to at least one."""


@dataclass(frozen=True)
class Pruned:
    """How many terms of a part went while it was multiplied out, by the same powers of the same statements."""

    part: Literal["numerator", "denominator"]
    powers: tuple[tuple[int, Fraction], ...]
    count: int


@dataclass(frozen=True)
class Reduced:
    """An answer under some statements. ``ratio`` None: too many terms to write out. ``spectrum`` None: infinite.
    ``kept_whole``: sums (part, power of s) in which terms nearly cancel, so that nothing was dropped; without a
    power, the part as a whole, in which nothing was dropped beside a term of another power of s.
    ``pruned``: where the exact answer has too many terms to write out, what went before it was.
    ``in_order``: the limits together leave 0/0, so they were taken one after the other, and in the opposite order
    they would give the answer ``reverse`` (None: infinite).
    """

    ratio: Ratio | None
    spectrum: Spectrum | None
    terms: tuple[int, int]
    dropped: tuple[Dropped, ...] = ()
    kept_whole: tuple[tuple[str, int | None], ...] = ()
    pruned: tuple[Pruned, ...] = ()
    in_order: bool = False
    reverse: Spectrum | None = None


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
class Approximate:
    """An answer under all its statements, with its measured error and the effect of each statement."""

    reduced: Reduced
    error: Error
    effects: tuple[Effect, ...]

"""What is found about a result by hand.

Enters: nothing. Leaves: records. Must not know: how anything was found, LaTeX.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.approximate.error import Error
from derive.circuit.records import Question
from derive.expression.dimension import Dimension
from derive.expression.tree import Expr
from derive.hand.equality import Proof, Reading
from derive.hand.limits import Going
from derive.hand.records import Hand, Link
from derive.hand.silent import Silent
from derive.hand.worth import Side

Kind = Literal["exact", "stated", "close", "wrong"]


@dataclass(frozen=True)
class Finding:
    """One side of a chain against what it should be.

    ``kind``: exactly equal; equal under ``statements`` of the file (their numbers); close: within the tolerance over
    the
    band; wrong. ``read``: as a value, or as a magnitude where it is written as a real quantity. ``silent``: statements
    under which a close one is exactly equal. ``inside``: the part of the band (Hz) in which the error is within the
    tolerance. ``error`` is None where it is exactly equal.
    """

    kind: Kind
    proof: Proof | None = None
    read: Reading = "value"
    statements: tuple[int, ...] = ()
    silent: tuple[Silent, ...] = ()
    error: Error | None = None
    inside: tuple[float, float] | None = None


@dataclass(frozen=True)
class Repair:
    """A change that makes a wrong formula right.

    ``slip``: sign, inverted, reciprocal, series, parallel, missing, extra, gm, factor, symbol, swap, renamed, node,
    lifted,
    unlifted, rail, decibels, log factor. ``here`` stands in the formula, ``there`` is what would be right in its place;
    ``names``: parts or nodes that the words name. ``repaired``: the whole formula put right, None where the question is
    at fault. ``finding``: how the repaired formula compares. ``place`` of ``here`` in the formula, () for the whole.
    """

    slip: str
    here: Expr | None
    there: Expr | None
    repaired: Expr | None
    names: tuple[str, ...]
    finding: Finding
    place: tuple[int, ...] = ()


@dataclass(frozen=True)
class Disagreement:
    """A limit in which the hand result and the right one part: what each comes to, in words or as a tree."""

    going: Going
    hand: Expr | Literal["zero", "infinite"]
    right: Expr | Literal["zero", "infinite"]


@dataclass(frozen=True)
class Diagnosis:
    """Where a wrong result went wrong: the likeliest slip, or else the limits in which it agrees and disagrees.

    ``units``: the dimension of the result and that of the answer, where they differ. ``limits`` in which the answer,
    under the statements ``under``, is exactly the result.
    """

    repair: Repair | None = None
    disagree: tuple[Disagreement, ...] = ()
    agree: tuple[Going, ...] = ()
    units: tuple[Dimension, Dimension] | None = None
    limits: tuple[Silent, ...] = ()
    under: tuple[int, ...] = ()


@dataclass(frozen=True)
class LinkFinding:
    """One side of the chain against the side before it; the first against the answer. ``holds``: as far as its sign
    claims."""

    link: Link
    finding: Finding
    value: complex
    holds: bool


@dataclass(frozen=True)
class Judged:
    """A result by hand, judged. ``result``: its last side against the answer. ``holds``: whether all that it claims
    does.

    ``slip_at``: the place in ``links`` of the first that does not follow.
    """

    question: Question
    hand: Hand
    says: str
    name: str | None
    because: str | None
    tolerance: float
    links: tuple[LinkFinding, ...]
    result: Finding
    slip_at: int | None
    diagnosis: Diagnosis | None
    side: Side
    right: Side

    @property
    def holds(self) -> bool:
        return self.slip_at is None and (self.result.kind == "exact" or self.within)

    @property
    def within(self) -> bool:
        return self.result.error is not None and self.result.error.worst <= self.tolerance

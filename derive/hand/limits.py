"""A ratio when one of its symbols goes to zero or to infinity.

Enters: ratios, names. Leaves: ratios. Must not know: networks, numbers, LaTeX.

A symbol that goes to a limit deletes or contracts its element; for a ratio that is written out that is the quotient
of the terms that lead in that symbol. Both are the same where the limit is finite.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial
from derive.expression.tree import ZERO, Infinite, Relation, Sym


@dataclass(frozen=True)
class Going:
    """A symbol and where it goes."""

    symbol: str
    to: Literal["0", "inf"]

    @property
    def relation(self) -> Relation:
        """As a statement has it; rpi -> inf with gm held is beta -> inf."""
        owner = self.symbol.removeprefix("rpi_")
        if owner != self.symbol and self.to == "inf":
            return Relation(Sym(f"beta_{owner}"), "->", Infinite())
        return Relation(Sym(self.symbol), "->", ZERO if self.to == "0" else Infinite())


@dataclass(frozen=True)
class Limited:
    """What a ratio comes to: ``zero``, ``infinite``, or ``finite`` and then ``ratio``."""

    kind: Literal["zero", "infinite", "finite"]
    ratio: Ratio | None = None


def limit(ratio: Ratio, going: Going) -> Limited:
    """The limit of a ratio.

    >>> from derive.algebra.ring import Ring
    >>> ring = Ring.of(["a", "b"])
    >>> a, b = (ring.generator(name) for name in "ab")
    >>> limit(Ratio(ring, a * b, a + b), Going("a", "inf")).ratio.above
    b
    """
    if ratio.above.is_zero():
        return Limited("zero", ratio)
    place = ratio.ring.index[going.symbol]
    (above, order_above), (below, order_below) = (
        _leading(side, place, going, ratio) for side in ratio.parts
    )
    order = order_above - order_below if going.to == "inf" else order_below - order_above
    if order:
        return Limited("infinite" if order > 0 else "zero")
    return Limited("finite", lowest_terms(ratio.ring, above, below))


def _leading(
    found: list[tuple[Exponents, int]], place: int, going: Going, ratio: Ratio
) -> tuple[Polynomial, int]:
    """The terms that lead in a symbol, without it, and their order in it."""
    orders = [exponents[place] for exponents, _ in found]
    order = max(orders) if going.to == "inf" else min(orders)
    kept = {(*e[:place], 0, *e[place + 1 :]): c for e, c in found if e[place] == order}
    return ratio.ring.polynomial(kept), order


def symbols_of(ratio: Ratio) -> tuple[str, ...]:
    """The symbols that stand in a ratio, s excepted."""
    used: set[int] = set()
    for side in ratio.parts:
        for exponents, _ in side:
            used |= {place for place, exponent in enumerate(exponents) if exponent}
    return tuple(name for place, name in enumerate(ratio.ring.names) if place in used and place)

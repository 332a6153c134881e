"""Sums and products with negative powers: what a form is searched among.

Enters: exponents over a ring. Leaves: trees, and what they cost a reader to hold.
Must not know: how candidates are made, LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.expression.tree import (
    MINUS_ONE,
    ONE,
    Expr,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    children,
    is_negative,
    product,
    quotient,
    total,
    walk,
)

Laurent = Mapping[Exponents, int]


@dataclass(frozen=True, eq=False)
class Style:
    """The order in which symbols stand in a product, and the size of a term, for the order of a sum."""

    ring: Ring
    place: tuple[int, ...]
    """Rank of each generator within a product."""
    laws: tuple[str, ...]
    """Law of each generator (resistance, conductance, capacitance, inductance), "" for s."""
    size: Callable[[Exponents], float]
    betas: tuple[tuple[int, int, str], ...] = ()
    """Generators gm and rpi of one device, and the name of their product, its current gain."""
    memo: dict[int, tuple[Expr, float, int]] = field(default_factory=dict, repr=False)
    """Cost and number of quotients of each tree seen, by identity; holds the tree so that the key stays valid."""

    forms: dict[tuple[str, str], object] = field(default_factory=dict, repr=False)
    """Forms already found, by the text of numerator and denominator."""

    inner: dict[tuple[int, ...], Style] = field(default_factory=dict, repr=False)

    def within(self, used: tuple[int, ...]) -> Style:
        """The style in the ring of some of the generators only."""
        if used not in self.inner:
            width = len(self.ring.names)

            def size(exponents: Exponents) -> float:
                whole = [0] * width
                for i, e in zip(used, exponents, strict=True):
                    whole[i] = e
                return self.size(tuple(whole))

            ring = Ring(tuple(self.ring.names[i] for i in used))
            places, laws = tuple(self.place[i] for i in used), tuple(self.laws[i] for i in used)
            where = {i: new for new, i in enumerate(used)}
            betas = tuple((where[g], where[r], beta) for g, r, beta in self.betas if g in where and r in where)
            self.inner[used] = Style(ring, places, laws, size, betas)
        return self.inner[used]

    def cost(self, expr: Expr) -> float:
        """What a reader must hold: each symbol one, each bracketed sum and each division a little more."""
        return self._measure(expr)[0]

    def _measure(self, expr: Expr) -> tuple[float, int]:
        known = self.memo.get(id(expr))
        if known is None:
            cost, quotients = _weigh(expr, [self._measure(child) for child in children(expr)])
            known = self.memo[id(expr)] = (expr, cost, quotients)
        return known[1], known[2]


_DIMENSION = {"resistance": (1, 0), "conductance": (-1, 0), "capacitance": (-1, 1), "inductance": (1, 1), "": (0, -1)}


def dimension(style: Style, exponents: Exponents) -> tuple[int, int]:
    """The powers of ohm and second of a monomial."""
    ohms = sum(e * _DIMENSION[law][0] for e, law in zip(exponents, style.laws, strict=True))
    return ohms, sum(e * _DIMENSION[law][1] for e, law in zip(exponents, style.laws, strict=True))


def laurent(polynomial: Polynomial) -> dict[Exponents, int]:
    return dict(terms(polynomial))


def times(left: Exponents, right: Exponents) -> Exponents:
    return tuple(a + b for a, b in zip(left, right, strict=True))


def over(left: Exponents, right: Exponents) -> Exponents:
    return tuple(a - b for a, b in zip(left, right, strict=True))


def common(sum_: Laurent) -> Exponents:
    """The largest monomial that divides every term."""
    return tuple(min(column) for column in zip(*sum_, strict=True))


@lru_cache(maxsize=50_000)
def monomial(style: Style, exponents: Exponents, coefficient: Fraction | int = 1) -> Expr:
    """A Laurent monomial as a product, or a quotient of products."""
    left = list(exponents)
    named: dict[int, tuple[str, int]] = {}
    for gm, rpi, beta in style.betas:
        if left[gm] * left[rpi] > 0:
            power = min(abs(left[gm]), abs(left[rpi])) * (1 if left[gm] > 0 else -1)
            left[gm] -= power
            left[rpi] -= power
            named[gm] = (beta, power)
    above: list[Expr] = [Num(Fraction(coefficient.numerator))]
    below: list[Expr] = [Num(Fraction(coefficient.denominator))]

    def put(name: str, power: int) -> None:
        if power:
            symbol = Sym(name)
            (above if power > 0 else below).append(symbol if abs(power) == 1 else Power(symbol, abs(power)))

    for i in sorted(range(len(exponents)), key=lambda i: style.place[i]):
        put(*named.get(i, ("", 0)))
        put(style.ring.names[i], left[i])
    return quotient(product(*above), product(*below))


def sum_in_order(style: Style, parts: list[tuple[Exponents | None, Expr]]) -> Expr:
    """A sum as it is written: a bare number first, single symbols by rank, else falling size.

    Each part comes with the exponents of a term that stands for its size.
    """

    def key(part: tuple[Exponents | None, Expr]) -> tuple[int, int, float, str]:
        exponents, expr = part
        if isinstance(expr, Num):
            return (0 if expr.value > 0 else 5, 0, 0.0, "")
        negative = 1 if is_negative(expr) else 0
        if plain:
            assert isinstance(expr, Sym)
            known = style.ring.index.get(expr.name)
            return (1, negative, -1 if known is None else style.place[known], expr.name)
        bare = 0 if isinstance(expr, Sym) else 1
        return (1 + 2 * negative + bare, 0, -style.size(exponents) if exponents is not None else 0.0, "")

    plain = all(isinstance(expr, Sym) for _, expr in parts)
    ordered = [expr for _, expr in sorted(parts, key=key)]
    return total(*ordered)


_NESTED = 0.7
"""Price of a fraction within a fraction."""


def _weigh(expr: Expr, parts: list[tuple[float, int]]) -> tuple[float, int]:
    """Cost of a tree from the costs of its parts, and the number of quotients in it."""
    inner = sum(cost for cost, _ in parts)
    quotients = sum(count for _, count in parts)
    match expr:
        case Num(value):
            return (0.2 if abs(value) == 1 else 0.6), 0
        case Sym(name):
            return (0.7 if name == "s" else 1.0), 0
        case Power():
            return inner + 0.3, quotients
        case Sum(terms):
            return inner + 0.15 * len(terms), quotients
        case Product(factors):
            brackets = sum(1 for f in factors if isinstance(f, Sum))
            minus = 0.2 if factors[0] == MINUS_ONE else 0.0
            return inner + 0.35 * brackets - minus, quotients
        case Quotient(above, below):
            unit = 0.1 if above == ONE else 0.0
            kept = _PARALLEL_BELOW * sum(1 for part in walk(below) if isinstance(part, Parallel))
            return inner + 0.2 - unit + _NESTED * quotients + kept, quotients + 1
        case Parallel(branches):
            # 1/g within a parallel combination is natural where it stands with resistances.
            return inner + 0.2 + 0.3 * sum(1 for b in branches if not isinstance(b, Sym)), 0
        case _:
            return 1.0, 0


_PARALLEL_BELOW = 0.8


def symbols_held(expr: Expr) -> int:
    """How many symbols stand in the expression, counted as often as they are written."""
    return sum(1 for part in walk(expr) if isinstance(part, Sym) and part.name != "s")

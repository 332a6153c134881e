"""Sums and products with negative powers: what a form is searched among.

Enters: exponents over a ring. Leaves: trees, and what they cost a reader to hold.
Must not know: how candidates are made, LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache, cached_property, lru_cache

from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.expression.tree import (
    Expr,
    Num,
    Power,
    Quotient,
    Sum,
    Sym,
    children,
    is_negative,
    product,
    quotient,
    total,
)
from derive.forms.price import Price, price

Laurent = Mapping[Exponents, int]


@dataclass(frozen=True, eq=False)
class Style:
    """The order in which symbols stand in a product, and the size of a term, for the order of a sum."""

    ring: Ring
    place: tuple[int, ...]
    """Rank of each generator within a product."""
    laws: tuple[str, ...]
    """Law of each generator (resistance, conductance, capacitance…), "" for s."""
    size: Callable[[Exponents], float]
    betas: tuple[tuple[int, int, str], ...] = ()
    """Generators gm and rpi of one device, and the name of their product, its current gain."""
    parts: tuple[tuple[str, Expr], ...] = ()
    """Generators that stand for more than one symbol of the circuit, and what they stand for."""
    memo: dict[int, tuple[Expr, Price]] = field(default_factory=dict, repr=False)
    """The price of each tree seen, by identity; holds the tree so that the key stays valid."""
    forms: dict[tuple[str, ...], object] = field(default_factory=dict, repr=False)
    """Forms already found, by the text of numerator and denominator and by the letters of coefficients."""
    inner: dict[tuple[object, ...], Style] = field(default_factory=dict, repr=False)

    @cached_property
    def weights(self) -> dict[str, Price]:
        """The price of each generator, of what it stands for."""
        plain = {name: price(Sym(name), ()) for name in self.ring.names}
        for name, expr in self.parts:
            held = _priced(expr)
            bracket = 0.35 if isinstance(expr, Sum) else 0.0
            # Its own symbols stand nowhere else; what matters to its surroundings is that it is a parallel.
            kept = (frozenset[str](),) * len(held.parallels)
            plain[name] = Price(held.cost + bracket, 0, frozenset((name,)), kept)
        return plain

    def within(self, used: tuple[int, ...], parts: Mapping[str, Expr], scales: Mapping[int, float]) -> Style:
        """The style in the ring of some of the generators only, a few of which stand for ``parts``.

        ``scales`` tells by how much the size of such a generator differs from that of its own symbol.
        """
        key = (used, tuple(parts.items()))
        if key not in self.inner:
            width = len(self.ring.names)

            def size(exponents: Exponents) -> float:
                whole = [0] * width
                factor = 1.0
                for i, e in zip(used, exponents, strict=True):
                    whole[i] = e
                    if e and i in scales:
                        factor *= scales[i] ** e
                return self.size(tuple(whole)) * factor

            ring = Ring(tuple(self.ring.names[i] for i in used))
            places, laws = tuple(self.place[i] for i in used), tuple(self.laws[i] for i in used)
            where = {i: new for new, i in enumerate(used)}
            betas = tuple(
                (where[g], where[r], beta)
                for g, r, beta in self.betas
                if g in where and r in where and not {self.ring.names[g], self.ring.names[r]} & parts.keys()
            )
            self.inner[key] = Style(ring, places, laws, cache(size), betas, tuple(parts.items()))
        return self.inner[key]

    def cost(self, expr: Expr) -> float:
        """What a reader must hold: each symbol one, each bracketed sum and each division a little more."""
        return self._measure(expr).cost

    def _measure(self, expr: Expr) -> Price:
        known = self.memo.get(id(expr))
        if known is None:
            weight = self.weights.get(expr.name) if isinstance(expr, Sym) else None
            known = self.memo[id(expr)] = (expr, price(expr, [self._measure(c) for c in children(expr)], weight))
        return known[1]

    def least(self, places: Iterable[int]) -> float:
        """The least that any form of these generators costs."""
        inside = set(places)
        held = sum(self.weights[self.ring.names[i]].cost for i in inside)
        return held - sum(1 for gm, rpi, _ in self.betas if gm in inside and rpi in inside)


def _priced(expr: Expr) -> Price:
    return price(expr, [_priced(child) for child in children(expr)])


_DIMENSION = {
    "resistance": (1, 0), "conductance": (-1, 0), "capacitance": (-1, 1), "inductance": (1, 1),
    "ratio": (0, 0), "delay": (0, 1), "": (0, -1),
}  # fmt: skip


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

    together = {name for name, _ in style.parts}
    for i in sorted(range(len(exponents)), key=lambda i: (style.ring.names[i] in together, style.place[i])):
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
            late = len(style.place) if expr.name in style.weights and style.weights[expr.name].parallels else 0
            return (1, negative, late + _rank(style, expr.name), expr.name)
        bare = 0 if isinstance(expr, Sym) else 1
        return (1 + 2 * negative + bare, 0, -style.size(exponents) if exponents is not None else 0.0, "")

    plain = all(isinstance(expr, Sym) for _, expr in parts)
    ordered = [expr for _, expr in sorted(parts, key=key)]
    return total(*ordered)


def in_order(style: Style, parts: Iterable[Expr]) -> tuple[Expr, ...]:
    """Parts of a parallel combination or a plain sum: symbols by rank, then reciprocals, then what is longer."""

    def key(part: Expr) -> tuple[int, int]:
        match part:
            case Sym(name):
                return 0, _rank(style, name)
            case Quotient(_, Sym(name)):
                return 1, _rank(style, name)
            case _:
                return 2, 0

    return tuple(sorted(parts, key=key))


def _rank(style: Style, name: str) -> int:
    known = style.ring.index.get(name)
    return -1 if known is None else style.place[known]

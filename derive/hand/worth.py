"""A side of an equality: a formula or an exact answer, with its worth in each arithmetic in which it can be had.

Enters: trees over the circuit's symbols, exact answers. Leaves: sides that know their ratio of polynomials, their
value in a prime field, to fifty digits, their spectrum. Must not know: slips, verdicts, LaTeX.

A tree may hold ``w`` and ``f`` (angular frequency and frequency; ``s`` is jw), ``pi``, roots and logarithms. Where w
stands in even powers only it is put back into s and the tree is rational; else it is judged by numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

import flint
import numpy as np

from derive.algebra.convert import ratio_of
from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.algebra.spectrum import Spectrum
from derive.answers.exact import diagrams
from derive.answers.records import Exact, Inquiry
from derive.approximate.reduce import spectrum_of_ratio
from derive.errors import ExpressionError
from derive.expression.tree import Call, Expr, Num, Product, Quotient, Sym, evaluate, symbols, walk
from derive.hand.arrays import array_of
from derive.hand.rational import spectrum_of_tree
from derive.hand.substitute import put_in

PRIME = (1 << 61) - 1
"""The field in which two rational sides are compared where they are too long to be multiplied out."""
REAL = ("w", "f", "pi")
_IN_W = {"f": Quotient(Sym("w"), Product((Num(Fraction(2)), Sym("pi"))))}
Field = Mapping[str, Any]


@dataclass(frozen=True)
class Side:
    """``tree`` for a formula, ``inquiry`` for an answer of the network; ``known`` a ratio that is there already.

    ``numbers``: the values of all symbols, parameters included (SI).
    """

    ring: Ring
    numbers: Mapping[str, Fraction]
    tree: Expr | None = None
    inquiry: Inquiry | None = None
    known: Ratio | None = None
    known_spectrum: Spectrum | None = None

    @cached_property
    def ratio(self) -> Ratio | None:
        """The ratio of polynomials in s and the network's symbols; None where it has none, or is too long."""
        if self.known is not None or self.tree is None or not self.is_rational:
            return self.known
        try:
            return _in_s(self.tree, self.ring)
        except ExpressionError:
            return None

    @cached_property
    def is_rational(self) -> bool:
        """Whether it is made of sums, products and quotients of s and symbols of the network alone."""
        if self.tree is None:
            return True
        if any(isinstance(part, Call) for part in walk(self.tree)):
            return False
        return all(_is_known(name, self.ring) for name in symbols(self.tree))

    @property
    def is_real(self) -> bool:
        """Whether it is written as a real quantity of a frequency: with a root, a logarithm, abs, w or f."""
        if self.tree is None or self.ratio is not None:
            return False
        return any(isinstance(part, Call) for part in walk(self.tree)) or bool(symbols(self.tree) & {"w", "f"})

    @property
    def is_logarithm(self) -> bool:
        """Whether a logarithm stands in it, so that it is meant in decibels."""
        return self.tree is not None and any(
            isinstance(part, Call) and part.function == "log10" for part in walk(self.tree)
        )

    def in_field(self, point: Field) -> Any:
        """The value in the prime field. Raises ZeroDivisionError, KeyError for what is not rational."""
        if self.tree is not None:
            return evaluate(self.tree, point, number=in_prime_field)
        if self.known is not None:
            return _field_ratio(self.known, point)
        assert self.inquiry is not None
        return field_answer(self.inquiry, point)

    @cached_property
    def spectrum(self) -> Spectrum | None:
        """Its spectrum at the circuit's numbers; None where it is not a ratio of polynomials in s, or infinite."""
        if self.known_spectrum is not None:
            return self.known_spectrum
        try:
            if self.tree is not None and not self.is_real and not symbols(self.tree) & set(REAL):
                return spectrum_of_tree(self.tree, self.numbers)
            return None if self.ratio is None else spectrum_of_ratio(self.ratio, self.numbers)
        except ZeroDivisionError:
            return None

    def sample(self, frequencies: np.ndarray) -> np.ndarray:
        """Values over frequencies in Hz at the circuit's numbers, in double precision."""
        if self.spectrum is not None:
            return self.spectrum.sample(frequencies)
        assert self.tree is not None
        return array_of(self.tree, self.numbers, frequencies)


def in_prime_field(value: Fraction) -> Any:
    """A rational number in the prime field."""
    return flint.nmod(value.numerator, PRIME) / flint.nmod(value.denominator, PRIME)


def field_answer(inquiry: Inquiry, point: Field) -> Any:
    """The answer of a network in the prime field, from its diagrams, however many terms they have."""
    elements = {element.name: element for element in inquiry.network.elements}
    one, zero, s = flint.nmod(1, PRIME), flint.nmod(0, PRIME), point["s"]
    sides = []
    for diagram in diagrams(inquiry):
        pairs = []
        for name in diagram.elements:
            law = elements[name].law
            value = one if law == "unity" else point[name]
            if law in ("capacitance", "delay", "inductance"):
                value = value * s
            pairs.append((one, value) if law in ("resistance", "ratio", "inductance") else (value, one))
        sides.append(diagram.fold(one, zero, [c for c, _ in pairs], [d for _, d in pairs]))
    if sides[1] == 0:
        raise ZeroDivisionError("a determinant is zero")
    return sides[0] / sides[1] * (point[inquiry.factor] if inquiry.factor else one)


def _field_ratio(ratio: Ratio, point: Field) -> Any:
    bases = [int(point[name]) for name in ratio.ring.names]
    above, below = (_field_sum(side, bases) for side in (ratio.above, ratio.below))
    if below == 0:
        raise ZeroDivisionError("a denominator is zero")
    return above / below


def _field_sum(side: Polynomial, bases: list[int]) -> Any:
    total = 0
    powers: dict[tuple[int, int], int] = {}
    for exponents, coefficient in terms(side):
        value = coefficient
        for at in enumerate(exponents):
            if at[1]:
                if at not in powers:
                    powers[at] = pow(bases[at[0]], at[1], PRIME)
                value = value * powers[at] % PRIME
        total += value
    return flint.nmod(total % PRIME, PRIME)


def _is_known(name: str, ring: Ring) -> bool:
    if name in ring.index or name in REAL:
        return True
    owner = name.removeprefix("beta_")
    return owner != name and f"gm_{owner}" in ring.index and f"rpi_{owner}" in ring.index


def _in_s(tree: Expr, ring: Ring) -> Ratio | None:
    """The tree as a ratio, with w put back into s; None where w or pi is left over."""
    if not symbols(tree) & set(REAL):
        return ratio_of(tree, ring)
    wider = Ring((*ring.names, "w", "pi"))
    found = ratio_of(put_in(tree, _IN_W), wider)
    sides = [_turned(side, ring) for side in (found.above, found.below)]
    return None if sides[0] is None or sides[1] is None else lowest_terms(ring, sides[0], sides[1])


def _turned(side: Polynomial, ring: Ring) -> Polynomial | None:
    kept: dict[Exponents, int] = {}
    for exponents, coefficient in terms(side):
        *own, w, pi = exponents
        if w % 2 or pi:
            return None
        place = (own[0] + w, *own[1:])
        kept[place] = kept.get(place, 0) + (-coefficient if w % 4 else coefficient)
    return ring.polynomial({place: c for place, c in kept.items() if c})


def side_of_answer(exact: Exact, ring: Ring, numbers: Mapping[str, Fraction]) -> Side:
    return Side(ring, numbers, None, exact.inquiry, exact.ratio, exact.spectrum)

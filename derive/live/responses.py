"""Answers with some symbols left as variables.

Enters: inquiries or ratios, the numbers of all symbols, the names of the variables. Leaves: ``Response`` records.
Must not know: pages, statements.

The determinant of a network is linear in each admittance, so with a few variables it is short, however long the
answer in symbols may be.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import flint

from derive.algebra.ratio import Ratio
from derive.algebra.ring import rational, terms
from derive.answers.exact import diagrams
from derive.answers.records import Inquiry
from derive.kernel.diagram import Diagram
from derive.live.records import Response, Term
from derive.network.records import Element

MOST_TERMS = 1500
"""A ratio with more terms is not turned into a response."""


@dataclass(frozen=True)
class Maker:
    """Makes responses in the chosen variables."""

    names: tuple[str, ...]
    numbers: Mapping[str, Fraction]

    @property
    def context(self) -> Any:
        return flint.fmpq_mpoly_ctx.get(("s", *self.names), "lex")

    def of_inquiry(self, inquiry: Inquiry) -> Response | None:
        """The exact answer; None where its determinant vanishes."""
        elements = {element.name: element for element in inquiry.network.elements}
        above, below = (self._polynomial(diagram, elements) for diagram in diagrams(inquiry))
        if inquiry.factor:
            above = above * self._generator(inquiry.factor)
        return self._response(above, below)

    def of_ratio(self, ratio: Ratio) -> Response | None:
        """A ratio in symbols; None where it has too many terms."""
        if max(ratio.counts) > MOST_TERMS:
            return None
        return self._response(*(self._substituted(side, ratio.ring.names) for side in (ratio.above, ratio.below)))

    def product(self, found: Sequence[Response]) -> Response | None:
        """The product of responses."""
        above, below = self.context.constant(1), self.context.constant(1)
        for response in found:
            above, below = above * self._again(response.above), below * self._again(response.below)
        return self._response(above, below)

    def _again(self, side: Sequence[Term]) -> Any:
        return self.context.from_dict({(power, *exponents): rational(Fraction(c)) for c, power, exponents in side})

    def _generator(self, name: str) -> Any:
        """The variable of that name, or its number."""
        if name in self.names:
            return self.context.gen(1 + self.names.index(name))
        return self.context.constant(rational(self.numbers[name]))

    def _polynomial(self, diagram: Diagram, elements: Mapping[str, Element]) -> Any:
        one, s = self.context.constant(1), self.context.gen(0)
        contracted, deleted = [], []
        for name in diagram.elements:
            law = elements[name].law
            symbol = one if law == "unity" else self._generator(name)
            kept, gone = {
                "resistance": (one, symbol), "ratio": (one, symbol), "capacitance": (symbol * s, one),
                "delay": (symbol * s, one), "inductance": (one, symbol * s),
            }.get(law, (symbol, one))  # fmt: skip
            contracted.append(kept)
            deleted.append(gone)
        return diagram.fold(one, self.context.constant(0), contracted, deleted)

    def _substituted(self, polynomial: Any, names: tuple[str, ...]) -> Any:
        """The polynomial with the numbers of all symbols but the variables put in."""
        bases = [None if name == "s" or name in self.names else rational(self.numbers[name]) for name in names]
        places = [names.index(name) if name in names else None for name in ("s", *self.names)]
        found: dict[tuple[int, ...], Any] = {}
        for exponents, coefficient in terms(polynomial):
            value = flint.fmpq(coefficient)
            for base, exponent in zip(bases, exponents, strict=True):
                if exponent and base is not None:
                    value *= base**exponent
            key = tuple(0 if place is None else exponents[place] for place in places)
            found[key] = found.get(key, flint.fmpq(0)) + value
        return self.context.from_dict({key: value for key, value in found.items() if value != 0})

    def _response(self, above: Any, below: Any) -> Response | None:
        """Numbers of moderate size: both sides over the largest coefficient below."""
        sides = [[(tuple(map(int, e)), Fraction(int(c.p), int(c.q))) for e, c in side.to_dict().items()]
                 for side in (above, below)]  # fmt: skip
        if not sides[1]:
            return None
        largest = max(abs(c) for _, c in sides[1])
        return Response(*(tuple((float(c / largest), e[0], e[1:]) for e, c in sorted(side)) for side in sides))

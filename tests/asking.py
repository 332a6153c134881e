"""Short ways from a circuit to an answer, for tests.

Enters: circuits, formulas as text. Leaves: exact and approximate answers, formulas as ratios, random exact points.
Must not know: what the right answers are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from random import Random

from derive.algebra.convert import ratio_of
from derive.algebra.ratio import Ratio
from derive.answers.exact import answer
from derive.answers.inquire import inquire
from derive.answers.records import Exact, Inquiry
from derive.approximate.records import Reduced, Resolved
from derive.approximate.reduce import reduce_answer
from derive.circuit.records import Circuit
from derive.derivation.analyse import prepare
from derive.expression.parse import parse_expression


@dataclass(frozen=True)
class Asked:
    """A circuit with its network, numbers and statements ready, and its answers on request."""

    circuit: Circuit

    @cached_property
    def prepared(self):
        return prepare(self.circuit)

    @property
    def network(self):
        return self.prepared.network

    @property
    def ground(self):
        return self.prepared.ground

    @property
    def style(self):
        return self.prepared.style

    @property
    def statements(self) -> tuple[Resolved, ...]:
        return self.prepared.statements

    @cached_property
    def inquiries(self) -> dict[str, Inquiry]:
        return {question.name: inquire(question, self.network) for question in self.circuit.questions}

    def exact(self, name: str) -> Exact:
        return answer(self.inquiries[name], self.ground.numbers, self.ground.ring)

    def reduced(self, name: str, statements: Sequence[Resolved] | None = None) -> Reduced:
        """The answer under all statements, or under those given."""
        return reduce_answer(self.exact(name), self.statements if statements is None else statements, self.ground)

    def formula(self, text: str) -> Ratio:
        """A textbook's formula in the symbols of the circuit."""
        return ratio_of(parse_expression(text), self.ground.ring)


def random_point(names: Sequence[str], source: Random) -> dict[str, Fraction]:
    """A positive rational for each name, and gm·rpi for each beta."""
    point = {name: Fraction(source.randrange(1, 10**6), source.randrange(1, 10**4)) for name in names}
    for name in names:
        owner = name.removeprefix("gm_")
        if name != owner and f"rpi_{owner}" in point:
            point[f"beta_{owner}"] = point[name] * point[f"rpi_{owner}"]
    return point

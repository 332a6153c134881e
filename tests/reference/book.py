"""A published formula beside the circuit it is about, and the check that the program's answer is the same.

Enters: tables of formulas. Leaves: nothing, or a failed assertion.
Must not know: how an answer is found.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from random import Random

from derive.expression.parse import parse_expression
from derive.expression.tree import evaluate
from tests.asking import Asked, random_point
from tests.networks import circuit


@dataclass(frozen=True)
class Published:
    """``exact``: the formula without approximation. ``approximate``: the usual short form, and ``assume``: the
    conditions under which it is given. ``source``: author, title, edition, section; from memory unless it says more.
    """

    name: str
    source: str
    parts: str
    question: str
    exact: str
    assume: tuple[str, ...] = ()
    approximate: str | None = None

    def __str__(self) -> str:
        return self.name


def check(published: Published) -> None:
    """The exact answer is the exact formula, by polynomials and at random rational points; under the stated
    conditions the approximate answer is the approximate formula, and it is another one.
    """
    asked = Asked(circuit(published.parts, f"X: {published.question}", assume=published.assume))
    exact = asked.exact("X")
    assert exact.ratio is not None
    assert exact.ratio == asked.formula(published.exact)
    source = Random(published.name)
    tree = parse_expression(published.exact)
    for _ in range(3):
        point = random_point(asked.ground.ring.names, source)
        assert exact.ratio.value(point, point["s"]) == evaluate(tree, point)
    s = Fraction(source.randrange(1, 10**6))
    numbers = {**asked.ground.numbers, "s": s}
    assert exact.spectrum.exactly_at(s) == evaluate(tree, numbers)
    if published.approximate is None:
        assert not published.assume
        return
    reduced = asked.reduced("X")
    assert reduced.ratio is not None
    assert reduced.ratio == asked.formula(published.approximate)
    assert reduced.ratio != exact.ratio
    assert all(statement.ratio is None or statement.ratio > 3 for statement in asked.statements)

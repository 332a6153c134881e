"""Statements proposed for random networks: the promise is kept, none is superfluous, none contradicts another."""

from __future__ import annotations

from fractions import Fraction
from math import pi
from random import Random

import pytest

from derive.answers.exact import NoSolution
from derive.approximate.contradictions import refuse_contradictions
from derive.approximate.reduce import reduce_answer
from derive.derivation.analyse import placed
from derive.errors import DescriptionError
from derive.proposal.propose import propose
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.stating import random_statements

MIXES = [("bjt",), ("jfet", "transconductance"), ("bjt", "bjt"), ("opamp", "bjt")]
CASES = [(mix, seed) for mix in MIXES for seed in range(10)]
ACCURACIES = ("0.1 %", "1 %", "5 %", "20 %")
ASKS = ('A: {} gain = {{ from = "n1", to = "n3" }}', 'Z: {} impedance = {{ at = "n3" }}')


def _asked(source: Random, mix: tuple[str, ...], *, stated: int = 0) -> Asked:
    accuracy = f'accuracy = "{source.choice(ACCURACIES)}"\n'
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
        assume = random_statements(pieces, source, stated) if stated else ()
        try:
            asked = Asked(circuit(pieces, *(ask.format(accuracy) for ask in ASKS), assume=assume))
            for name in "AZ":
                with placed(asked.circuit, asked.circuit.questions[0]):
                    asked.exact(name)
        except (DescriptionError, NoSolution):
            continue
        return asked


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_promise_and_minimality(mix: tuple[str, ...], seed: int) -> None:
    source = Random(f"proposals {mix} {seed}")
    asked = _asked(source, mix)
    sheet = list(asked.statements)
    for question in asked.circuit.questions:
        exact = asked.exact(question.name)
        found = propose(question, exact, sheet, asked.ground, asked.network)
        if found.outcome != "proposed":
            assert not found.statements
            continue
        accuracy = float(question.accuracy or 0)
        reduced = reduce_answer(exact, found.statements, asked.ground)
        assert sum(reduced.terms) < sum(exact.terms)
        _kept(asked, reduced.spectrum, exact.spectrum, accuracy, source)
        for left_out in found.statements:
            others = [s for s in found.statements if s is not left_out]
            less = reduce_answer(exact, others, asked.ground)
            more_terms = sum(less.terms) > sum(reduced.terms)
            assert more_terms or asked.ground.error(less, exact).worst > accuracy, left_out.statement.text
        assert all(g.value >= 10 for s in found.statements for g in s.generators)
        refuse_contradictions(found.statements)


def _kept(asked: Asked, approximate, exact, accuracy: float, source: Random) -> None:
    """Fresh measurements at random points of the band, by complex arithmetic of forty digits."""
    low, high = (float(f) for f in asked.ground.band)
    points = [Fraction(low * (high / low) ** source.random()) for _ in range(40)] + list(asked.ground.band)
    peak = max(abs(exact.at_frequency(f)) for f in points)
    for frequency in points:
        value, other = exact.at_frequency(frequency), approximate.at_frequency(frequency)
        base = abs(value) if abs(value) >= 1e-3 * peak else peak
        assert abs(other - value) <= accuracy * base * (1 + 1e-6), float(2 * pi * frequency)


@pytest.mark.parametrize(("mix", "seed"), [(mix, seed) for mix in MIXES for seed in range(3)])
def test_beside_an_authors_statements(mix: tuple[str, ...], seed: int) -> None:
    """They come on top of what is stated, keep the promise together with it, and contradict none of it."""
    source = Random(f"beside {mix} {seed}")
    asked = _asked(source, mix, stated=2)
    for question in asked.circuit.questions:
        exact = asked.exact(question.name)
        found = propose(question, exact, asked.statements, asked.ground, asked.network)
        given = reduce_answer(exact, asked.statements, asked.ground)
        exceeds = asked.ground.error(given, exact).worst > float(question.accuracy or 0)
        assert exceeds == (found.outcome == "stated already exceed")
        if found.outcome == "proposed":
            both = (*asked.statements, *found.statements)
            reduced = reduce_answer(exact, both, asked.ground)
            assert asked.ground.error(reduced, exact).worst <= float(question.accuracy or 0)
            assert sum(reduced.terms) < sum(given.terms)
            assert [s.number for s in found.statements] == sorted(s.number for s in found.statements)
            assert min(s.number for s in found.statements) == 3
            refuse_contradictions(both)

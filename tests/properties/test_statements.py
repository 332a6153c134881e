"""Statements of every sort on random networks: ratios with frequency, equalities, limits.

Their order does not matter, more ratios never leave more terms, every dropped term has its reason, and the error that
is told is that of a fresh measurement: the exact answer by the nodal equations of the tests, the approximate one term
by term from its symbols.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from math import exp, log
from random import Random

import pytest

from derive.algebra.ring import terms
from derive.answers.exact import NoSolution, diagrams
from derive.approximate.alike import alike
from derive.approximate.cone import Cone
from derive.approximate.expand import expand_pruned
from derive.approximate.records import Resolved
from derive.approximate.reduce import approximate
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.properties.test_errors import Measured
from tests.stating import random_statements

MIXES = [("bjt",), ("jfet", "transconductance"), ("bjt", "bjt"), ("opamp", "bjt")]
CASES = [(mix, seed) for mix in MIXES for seed in range(3)]
ASKS = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')
BAND = (20.0, 200e3)


def _case(mix: tuple[str, ...], seed: int, equalities: int = 1) -> tuple[Random, list[Piece], Asked]:
    source = Random(f"statements {mix} {seed}")
    about = f'band = ["{BAND[0]} Hz", "{BAND[1]} Hz"]\nspot = "1 kHz"'
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
        resistors = [piece.name for piece in pieces if piece.kind == "resistor"]
        capacitors = [piece.name for piece in pieces if piece.kind == "capacitor"]
        if not capacitors or len(resistors) < 4:
            continue
        stated = random_statements(pieces, source, 3)
        for _ in range(2):
            op = source.choice(("<<", ">>"))
            stated.append(f"w {op} 1/({source.choice(resistors)}*{source.choice(capacitors)})")
        stated += [" = ".join(source.sample(resistors, 2)) for _ in range(equalities)]
        tables = [f'that = "{text}"' for text in stated]
        try:
            asked = Asked(circuit(pieces, *ASKS, assume=tables, about=about))
            for name in "AZ":
                if asked.exact(name).spectrum.numerator == (0,) or not asked.statements:
                    raise NoSolution
        except (DescriptionError, NoSolution):
            continue
        return source, pieces, asked


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_order_does_not_matter(mix: tuple[str, ...], seed: int) -> None:
    source, _, asked = _case(mix, seed, 2)
    for name in "AZ":
        expected = asked.reduced(name)
        for _ in range(3):
            shuffled = list(asked.statements)
            source.shuffle(shuffled)
            found = asked.reduced(name, shuffled)
            assert found.ratio == expected.ratio
            assert found.spectrum == expected.spectrum
            assert found.kept_whole == expected.kept_whole
            assert {(d.part, d.term) for d in found.dropped} == {(d.part, d.term) for d in expected.dropped}


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_more_ratios_never_leave_more_terms(mix: tuple[str, ...], seed: int) -> None:
    """With the same equalities; a sum that was kept whole is said to be, and may grow."""
    source, _, asked = _case(mix, seed)
    ratios = [s for s in asked.statements if s.generators]
    others = [s for s in asked.statements if not s.generators]
    for name in "AZ":
        for _ in range(4):
            many = [s for s in ratios if source.random() < 0.8]
            few = [s for s in many if source.random() < 0.6]
            larger, smaller = (asked.reduced(name, [*others, *some]) for some in (many, few))
            if larger.kept_whole or smaller.kept_whole:
                continue
            gone, before = ({(d.part, d.term) for d in found.dropped} for found in (larger, smaller))
            assert before <= gone


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_each_dropped_term_has_a_reason(mix: tuple[str, ...], seed: int) -> None:
    """The term that stays over the one that goes is the product of the stated ratios, with powers that add up to one
    at least; s counts as a symbol, and symbols that are alike as one.
    """
    _, _, asked = _case(mix, seed)
    same = alike([e for s in asked.statements for e in s.equalities])
    generators = {s.number: [same.term(g.exponents)[0] for g in s.generators] for s in asked.statements}
    for name in "AZ":
        for item in asked.reduced(name).dropped:
            assert item.power_of_s == item.term[0]
            assert sum(power for _, power in item.powers) >= 1
            assert all(power > 0 for _, power in item.powers)
            wanted = [up - down for up, down in zip(item.dominated_by, item.term, strict=True)]
            if all(len(generators[number]) == 1 for number, _ in item.powers):
                used = [(generators[number][0], power) for number, power in item.powers]
                made = [sum((p * e[i] for e, p in used), Fraction(0)) for i in range(len(wanted))]
                assert made == wanted


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_told_errors_are_those_of_a_fresh_measurement(mix: tuple[str, ...], seed: int) -> None:
    source, pieces, asked = _case(mix, seed)
    for name in "AZ":
        measured = Measured(pieces, asked, name)
        found = approximate(asked.exact(name), asked.statements, asked.ground)
        for statement, effect in zip(asked.statements, found.effects, strict=True):
            for reduced, error in (
                (effect.reduced, effect.together), (asked.reduced(name, [statement]), effect.alone),
            ):  # fmt: skip
                if reduced.ratio is None:
                    assert error.worst == float("inf")
                    continue
                assert measured.error(reduced.ratio, 1000.0) == pytest.approx(error.spot, rel=1e-6, abs=1e-9)
                for _ in range(20):
                    frequency = exp(source.uniform(*map(log, BAND)))
                    assert measured.error(reduced.ratio, frequency) <= error.worst * 1.02 + 1e-9


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_equalities_are_exact(mix: tuple[str, ...], seed: int) -> None:
    """With nothing but equalities the answer is that of the circuit in which the parts have equal values."""
    source, _, asked = _case(mix, seed, 2)
    equal: list[Resolved] = [s for s in asked.statements if s.equalities]
    same = alike([e for s in equal for e in s.equalities])
    for name in "AZ":
        exact, reduced = asked.exact(name), asked.reduced(name, equal)
        point = {n: Fraction(source.randrange(1, 10**4)) for n in asked.ground.ring.names}
        values = same.numbers(asked.ground.ring, point)
        assert exact.ratio is not None
        if reduced.ratio is None:
            continue
        try:
            expected = exact.ratio.value(values, point["s"])
        except ZeroDivisionError:
            continue
        assert reduced.ratio.value(point, point["s"]) == expected
        held = {asked.ground.ring.names[i] for side in (reduced.ratio.above, reduced.ratio.below)
                for e, _ in terms(side) for i, power in enumerate(e) if power}  # fmt: skip
        assert not held & {asked.ground.ring.names[place] for place in same.replaced}


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_pruned_expansion_is_expansion_and_dropping(mix: tuple[str, ...], seed: int) -> None:
    """Across powers of s, and with symbols that are alike (then nothing is dropped at the nodes)."""
    _, _, asked = _case(mix, seed)
    ring = asked.ground.ring
    cone = Cone(tuple(g for s in asked.statements for g in s.generators))
    same = alike([e for s in asked.statements for e in s.equalities])
    for name in "AZ":
        inquiry = asked.inquiries[name]
        elements = {e.name: e for e in inquiry.network.elements}
        for diagram in diagrams(inquiry):
            whole = dict(terms(ring.expand(diagram, elements)))
            places, _ = cone.maximal(list(whole))
            names = list(whole)
            went: Counter[tuple[tuple[int, Fraction], ...]] = Counter()
            stays = expand_pruned(diagram, elements, ring, cone, went=went)
            assert stays == {names[p]: whole[names[p]] for p in places}
            assert went.total() + len(stays) == diagram.count()
            assert all(sum(power for _, power in powers) >= 1 for powers in went)
            merged = expand_pruned(diagram, elements, ring, cone, same)
            assert [dict(side) for side in same.sides(ring, whole.items())] == same.sides(ring, merged.items())

"""What stated ratios do to random answers: no order, no surprise, and a reason for each term that goes."""

from __future__ import annotations

from fractions import Fraction
from random import Random

import pytest
from scipy.optimize import linprog

from derive.algebra.ring import terms
from derive.answers.exact import NoSolution, diagrams
from derive.approximate.cone import Cone
from derive.approximate.expand import expand_pruned
from derive.approximate.records import Generator, Resolved
from derive.approximate.reduce import approximate
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active
from tests.stating import random_statements

MIXES = [("bjt",), ("jfet", "transconductance"), ("bjt", "bjt"), ("opamp", "bjt")]
CASES = [(mix, seed) for mix in MIXES for seed in range(2)]
ASKS = ('A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }')


def _asked(mix: tuple[str, ...], seed: int, count: int = 4, nodes: int = 3) -> tuple[Random, Asked]:
    """A random network with true statements that agree with each other."""
    source = Random(f"dropping {mix} {seed}")
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, nodes, mix)]
        try:
            asked = Asked(circuit(pieces, *ASKS, assume=random_statements(pieces, source, count)))
            for name in "AZ":
                asked.exact(name)
        except (DescriptionError, NoSolution):
            continue
        return source, asked


def _kept(asked: Asked, name: str, statements: tuple[Resolved, ...]) -> set[tuple[str, tuple[int, ...]]]:
    """The terms of the exact answer that are not dropped."""
    ratio = asked.exact(name).ratio
    assert ratio is not None
    gone = {(d.part, d.term) for d in asked.reduced(name, statements).dropped}
    whole = {
        (part, exponents) for part, side in (("numerator", ratio.above), ("denominator", ratio.below))
        for exponents, _ in terms(side)
    }  # fmt: skip
    assert gone <= whole
    return whole - gone


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_order_of_statements_does_not_matter(mix: tuple[str, ...], seed: int) -> None:
    source, asked = _asked(mix, seed)
    for name in "AZ":
        expected = asked.reduced(name)
        for _ in range(3):
            shuffled = list(asked.statements)
            source.shuffle(shuffled)
            found = asked.reduced(name, shuffled)
            assert found.ratio == expected.ratio
            assert found.spectrum == expected.spectrum
            assert {(d.part, d.term) for d in found.dropped} == {(d.part, d.term) for d in expected.dropped}


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_more_statements_never_leave_more_terms(mix: tuple[str, ...], seed: int) -> None:
    source, asked = _asked(mix, seed)
    for name in "AZ":
        for _ in range(4):
            many = [s for s in asked.statements if source.random() < 0.7]
            few = [s for s in many if source.random() < 0.6]
            if asked.reduced(name, many).kept_whole:
                continue
            assert _kept(asked, name, tuple(many)) <= _kept(asked, name, tuple(few))


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_effects_tell_a_falling_number_of_terms(mix: tuple[str, ...], seed: int) -> None:
    """What a reader sees: the terms that stay after each statement."""
    _, asked = _asked(mix, seed)
    for name in "AZ":
        _falling(asked, name)


def _falling(asked: Asked, name: str) -> None:
    counts = [sum(e.reduced.terms) for e in approximate(asked.exact(name), asked.statements, asked.ground).effects]
    assert counts == sorted(counts, reverse=True)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_each_dropped_term_has_a_reason(mix: tuple[str, ...], seed: int) -> None:
    """The term that stays over the one that goes is the product of the stated ratios to the recorded powers."""
    _, asked = _asked(mix, seed)
    by_number = {s.number: s.generators for s in asked.statements}
    for name in "AZ":
        kept = _kept(asked, name, asked.statements)
        for item in asked.reduced(name).dropped:
            assert (item.part, item.dominated_by) in kept
            assert item.term[0] == item.dominated_by[0] == item.power_of_s
            assert all(power > 0 for _, power in item.powers)
            assert sum(power for _, power in item.powers) >= 1
            wanted = [up - down for up, down in zip(item.dominated_by, item.term, strict=True)]
            assert _multiplies_up(wanted, [(by_number[number], power) for number, power in item.powers])


def _multiplies_up(wanted: list[int], used: list[tuple[tuple[Generator, ...], Fraction]]) -> bool:
    """Whether powers that are not negative, of which each statement's add up to its own, give the exponents."""
    if all(len(generators) == 1 for generators, _ in used):
        made = [sum((p * g[0].exponents[i] for g, p in used), Fraction(0)) for i in range(len(wanted))]
        return made == wanted
    columns = [(place, g.exponents) for place, (generators, _) in enumerate(used) for g in generators]
    rows = [[exponents[i] for _, exponents in columns] for i in range(len(wanted))]
    rows += [[int(owner == place) for owner, _ in columns] for place in range(len(used))]
    right = [*wanted, *(float(power) for _, power in used)]
    return bool(linprog([0] * len(columns), A_eq=rows, b_eq=right, bounds=(0, None)).status == 0)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_what_stays_is_not_dominated(mix: tuple[str, ...], seed: int) -> None:
    """No remaining term could still go, and nothing goes that no product of ratios reaches (by linear programming)."""
    _, asked = _asked(mix, seed, count=3)
    generators = [g for s in asked.statements for g in s.generators]
    matrix = [list(column) for column in zip(*(g.exponents for g in generators), strict=True)]

    def dominates(high: tuple[int, ...], low: tuple[int, ...]) -> bool:
        width = len(generators)
        result = linprog(
            [1] * width, A_ub=[[-1] * width], b_ub=[-1], A_eq=matrix,
            b_eq=[up - down for up, down in zip(high, low, strict=True)], bounds=(0, None),
        )  # fmt: skip
        return bool(result.status == 0)

    reduced = asked.reduced("Z")
    if reduced.kept_whole:
        return
    kept = sorted(_kept(asked, "Z", asked.statements))[:12]
    for part, high in kept:
        for other, low in kept:
            if part == other and high != low and high[0] == low[0]:
                assert not dominates(high, low)


@pytest.mark.parametrize(("mix", "seed"), CASES)
def test_pruned_expansion_is_expansion_and_dropping(mix: tuple[str, ...], seed: int) -> None:
    """Dropping at the nodes of the diagram leaves what dropping after multiplying out leaves."""
    _, asked = _asked(mix, seed)
    cone = Cone(tuple(g for s in asked.statements for g in s.generators))
    ring = asked.ground.ring
    for name in "AZ":
        inquiry = asked.inquiries[name]
        elements = {e.name: e for e in inquiry.network.elements}
        for diagram in diagrams(inquiry):
            whole: dict[tuple[int, ...], int] = {}
            for coefficient in ring.by_powers_of_s(ring.expand(diagram, elements)):
                group = terms(coefficient)
                places, _ = cone.maximal([e for e, _ in group])
                whole.update({(*group[p][0],): group[p][1] for p in places})
            pruned = {(0, *e[1:]): c for e, c in expand_pruned(diagram, elements, ring, cone).items()}
            assert pruned == whole

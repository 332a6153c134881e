"""The diagram of a determinant: its value with its sign, its number of terms, its limits."""

from __future__ import annotations

from fractions import Fraction
from random import Random
from time import perf_counter

import pytest
import sympy

import derive.kernel.build as building
from derive.algebra.ring import Ring, terms
from derive.errors import TooLarge
from derive.kernel.build import determinant
from derive.kernel.diagram import Diagram
from derive.kernel.partition import parity
from derive.network.records import Element
from tests.kernel.graphs import conductances, exact_determinant, nodes_of, random_elements
from tests.networks import Piece
from tests.nodal import branches


def value(diagram: Diagram, numbers: dict[str, Fraction]) -> Fraction:
    one = Fraction(1)
    return diagram.fold(one, Fraction(0), [numbers[name] for name in diagram.elements], [one] * len(diagram.elements))


def random_numbers(source: Random, elements: list[Element]) -> dict[str, Fraction]:
    return {e.name: Fraction(source.randrange(1, 1000), source.randrange(1, 100)) for e in elements}


@pytest.mark.parametrize("seed", range(60))
def test_value_and_sign(seed: int) -> None:
    source = Random(f"determinant {seed}")
    elements = random_elements(source, source.randint(1, 6), source.randint(0, 4), source.randint(0, 4))
    numbers = random_numbers(source, elements)
    assert value(determinant(elements, (), "gnd"), numbers) == exact_determinant(elements, numbers)


@pytest.mark.parametrize("seed", range(60))
def test_value_and_sign_with_forced_edges(seed: int) -> None:
    """The coefficient of the product of the forced admittances, shorts and nullors alike."""
    source = Random(f"forced {seed}")
    elements = random_elements(source, source.randint(2, 5), source.randint(0, 3), source.randint(0, 3))
    numbers = random_numbers(source, elements)
    nodes = ["gnd", *nodes_of(elements)]
    forced = []
    for _ in range(source.randint(1, 3)):
        current = tuple(source.sample(nodes, 2))
        voltage = current if source.random() < 0.3 else tuple(source.sample(nodes, 2))
        forced.append((current, voltage))
    assert value(determinant(elements, forced, "gnd"), numbers) == exact_determinant(elements, numbers, forced)


@pytest.mark.parametrize("seed", range(15))
def test_terms_are_those_of_sympy(seed: int) -> None:
    """Number of terms and expansion against sympy's determinant of the nodal matrix; each coefficient is ±1."""
    source = Random(f"sympy {seed}")
    elements = random_elements(source, source.randint(2, 4), source.randint(0, 2), source.randint(0, 2))
    symbols = {e.name: sympy.Symbol(e.name) for e in elements}
    place = {node: row for row, node in enumerate(nodes_of(elements))}
    matrix = sympy.zeros(len(place))
    for element in elements:
        for row, up in zip(element.current, (1, -1), strict=True):
            for column, over in zip(element.voltage, (1, -1), strict=True):
                if row in place and column in place:
                    matrix[place[row], place[column]] += up * over * symbols[element.name]
    expected = sympy.Poly(matrix.det(method="berkowitz"), *symbols.values()).as_dict()
    diagram = determinant(elements, (), "gnd")
    polynomial = Ring.of(symbols).expand(diagram, {e.name: e for e in elements})
    found = {exponents[1:]: coefficient for exponents, coefficient in terms(polynomial)}
    assert found == {tuple(map(int, e)): int(c) for e, c in expected.items() if c}
    assert diagram.count() == len(found)
    assert {abs(c) for c in found.values()} <= {1}


@pytest.mark.parametrize("sections", range(1, 17))
def test_ladders_have_fibonacci_many_terms(sections: int) -> None:
    """The determinant of a ladder of n series and n shunt branches has F(2n + 1) terms: 2, 5, 13, 34…

    (L. Weinberg, "Network Analysis and Synthesis", 1962; A. M. Morgan-Voyce, IRE Trans. Circuit Theory 6 (1959) 321;
    from memory.) Here the first series branch hangs on a driven node that is ground for the determinant.
    """
    rungs = [("gnd", "n1"), *((f"n{k}", f"n{k + 1}") for k in range(1, sections))]
    shunts = [(f"n{k}", "gnd") for k in range(1, sections + 1)]
    last, following = 0, 1
    for _ in range(2 * sections):
        last, following = following, last + following
    assert determinant(conductances([*rungs, *shunts]), (), "gnd").count() == following


@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_complete_graphs_have_cayleys_number_of_trees(count: int) -> None:
    """n^(n-2) spanning trees of the complete graph (A. Cayley, 1889)."""
    nodes = ["gnd", *(f"n{k}" for k in range(count - 1))]
    edges = [(a, b) for i, a in enumerate(nodes) for b in nodes[:i]]
    assert determinant(conductances(edges), (), "gnd").count() == count ** (count - 2)


def test_large_ladder_is_quick_and_exact() -> None:
    """Sixteen sections have 3.5 million terms (F(33) = 3 524 578), which are never written out."""
    edges = [("gnd", "n1"), *((f"n{k}", f"n{k + 1}") for k in range(1, 16)), *((f"n{k}", "gnd") for k in range(1, 17))]
    elements = conductances(edges)
    diagram = determinant(elements, (), "gnd")
    assert diagram.count() == 3_524_578
    assert diagram.size < 100
    assert value(diagram, dict.fromkeys(diagram.elements, Fraction(1))) == 3_524_578


def test_loops_and_isolated_nodes_have_no_determinant() -> None:
    (one, two) = conductances([("a", "b"), ("b", "gnd")])
    joined = (("a", "b"), ("a", "b"))
    assert determinant([one, two], [joined, joined], "gnd").count() == 0
    assert determinant([one], (), "gnd").count() == 0
    assert determinant([], (), "gnd").count() == 1


def test_too_many_states_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """The message names the limit and says what to do."""
    monkeypatch.setattr(building, "LARGEST", 50)
    source = Random(50)
    elements = random_elements(source, 9, 20, 6)
    with pytest.raises(TooLarge, match=r"more than 50 states.*divide it, or delete parts"):
        determinant(elements, (), "gnd")


@pytest.mark.parametrize(
    ("sequence", "sign"), [([], 1), ([7], 1), ([1, 2], 1), ([2, 1], -1), ([3, 1, 2], 1), ([3, 2, 1], -1)]
)
def test_parity(sequence: list[int], sign: int) -> None:
    assert parity(sequence) == sign


def _four_transistors() -> list[Piece]:
    """Two common-emitter stages, a follower and its current sink, each with all its model's elements: 12 nodes."""
    lines = [
        ("resistor", "R1", "in", "b1"), ("resistor", "R2", "b1", "vb"), ("capacitor", "C1", "vb", "gnd"),
        ("resistor", "R3", "vb", "gnd"), ("resistor", "R4", "e1", "gnd"), ("resistor", "R5", "c1", "gnd"),
        ("capacitor", "C2", "c1", "b2"), ("resistor", "R6", "b2", "gnd"), ("resistor", "R7", "e2", "x"),
        ("capacitor", "C3", "x", "gnd"), ("resistor", "R8", "x", "gnd"), ("resistor", "R9", "c2", "gnd"),
        ("resistor", "R10", "out", "fb"), ("capacitor", "C4", "fb", "e1"), ("resistor", "R11", "in", "gnd"),
        ("resistor", "R12", "fb", "gnd"), ("resistor", "R13", "b4", "gnd"), ("resistor", "R14", "vb", "b4"),
        ("bjt", "Q1", "b1", "c1", "e1"), ("bjt", "Q2", "b2", "c2", "e2"), ("bjt", "Q3", "c2", "gnd", "out"),
        ("bjt", "Q4", "b4", "out", "gnd"),
    ]  # fmt: skip
    models = dict.fromkeys(("gm", "rpi", "ro", "cpi", "cmu"), 1)
    return [
        Piece(kind, name, tuple(nodes), models if kind == "bjt" else {kind: 1})  # type: ignore[arg-type]
        for kind, name, *nodes in lines
    ]


def test_four_transistors_of_distinct_symbols_are_quick() -> None:
    laws = {"resistor": "resistance", "capacitor": "capacitance", "transconductance": "conductance"}
    elements = [Element(b.name, "", laws[b.law], b.current, b.sense) for b in branches(_four_transistors())]  # type: ignore[arg-type]
    assert len(nodes_of(elements)) == 12
    start = perf_counter()
    diagram = determinant(elements, (), "gnd")
    count = diagram.count()
    assert perf_counter() - start < 1.0
    assert count > 100_000
    numbers = random_numbers(Random(4), elements)
    assert value(diagram, numbers) == exact_determinant(elements, numbers)

"""Statements about frequency: what they mean, where they are measured, what they drop, what they leave alone."""

from __future__ import annotations

from math import pi

import pytest

from derive.answers.exact import diagrams
from derive.approximate.cone import Cone
from derive.approximate.expand import expand_pruned
from derive.errors import DescriptionError
from derive.forms.present import present
from tests.asking import Asked
from tests.networks import circuit

ABOUT = 'band = ["20 Hz", "20 kHz"]\nspot = "1 kHz"'
LOW_PASS = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1k", between = ["in", "out"] }
C1 = { capacitor = "100p", between = ["out", "gnd"] }
"""
COUPLED = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
C1 = { capacitor = "10 µF", between = ["in", "a"] }
R1 = { resistor = "10k", between = ["a", "gnd"] }
R2 = { resistor = "1k", between = ["a", "out"] }
C2 = { capacitor = "10 pF", between = ["out", "gnd"] }
"""
GAIN = 'A: gain = { from = "in", to = "out" }'


def asked(parts: str, *assume: str, about: str = ABOUT) -> Asked:
    return Asked(circuit(parts, GAIN, assume=assume, about=about))


@pytest.mark.parametrize(
    ("statement", "ratio", "at"),
    [
        ("w << 1/(R1*C1)", 1 / (2 * pi * 20e3 * 1e-7), 20_000),
        ("f << 1/(2*pi*R1*C1)", 1 / (2 * pi * 20e3 * 1e-7), 20_000),
        ("w*R1*C1 << 1", 1 / (2 * pi * 20e3 * 1e-7), 20_000),
        ("R1 << 1/(w*C1)", 1 / (2 * pi * 20e3 * 1e-7), 20_000),
        ("f << 1/(R1*C1)", 1 / (20e3 * 1e-7), 20_000),
        ("w >> 1/(R1*C1)", 2 * pi * 20 * 1e-7, 20),
        ("w**2*R1**2*C1**2 << 1", 1 / (2 * pi * 20e3 * 1e-7) ** 2, 20_000),
        # Of the sum, that product is taken that is larger even where it is smallest.
        ("R1 + 1/(w*C1) >> R1", 1 / (2 * pi * 20e3 * 1e-7), 20_000),
    ],
)
def test_measured_at_the_unfavourable_end(statement: str, ratio: float, at: int) -> None:
    (resolved,) = asked(LOW_PASS, statement).statements
    assert float(resolved.ratio or 0) == pytest.approx(ratio, rel=1e-12)
    assert [g.at for g in resolved.generators] == [at]


def test_a_low_frequency_leaves_a_constant() -> None:
    found = asked(LOW_PASS, "w << 1/(R1*C1)")
    reduced = found.reduced("A")
    assert reduced.ratio == found.formula("1")
    form = present(found.style, reduced.ratio)
    assert form.complete
    assert not form.named
    (gone,) = reduced.dropped
    assert (gone.term[0], gone.dominated_by[0], gone.powers) == (1, 0, ((1, 1),))


def test_a_high_frequency_leaves_the_asymptote() -> None:
    found = asked(LOW_PASS.replace("100p", "100 µF"), "w >> 1/(R1*C1)")
    assert found.reduced("A").ratio == found.formula("1/(s*R1*C1)")


def test_between_two_corners() -> None:
    """The gain in the middle of the band, from a coupling and a load that do not matter there."""
    statements = ("C1 >> C2", "w >> 1/(R1*C1)", "f << 1/(2*pi*R2*C2)")
    found = asked(COUPLED, *statements)
    assert found.reduced("A").ratio == found.formula("1")
    assert all(s.ratio is not None and s.ratio > 10 for s in found.statements)
    lower = asked(COUPLED, "w << 1/(R2*C2)", "C1 >> C2", "w << 1/(R1*C2)")
    assert lower.reduced("A").ratio == lower.formula("s*C1*R1/(1 + s*C1*R1)")


@pytest.mark.parametrize(
    ("statements", "named"),
    [
        (("w << 1/(R1*C1)", "w >> 1/(R1*C1)"), "A1 and A2 contradict"),
        (("f >> 1/(R1*C1)", "R1 << 1/(w*C1)"), "A1 and A2 contradict"),
    ],
)
def test_both_ways_is_refused_by_name(statements: tuple[str, ...], named: str) -> None:
    with pytest.raises(DescriptionError, match=named) as caught:
        _ = asked(LOW_PASS, *statements).statements
    assert statements[0] in str(caught.value)
    assert caught.value.line is not None


def test_a_corner_below_another_is_no_contradiction() -> None:
    assert len(asked(COUPLED, "w >> 1/(R1*C1)", "w << 1/(R1*C2)").statements) == 2


def test_a_false_statement_is_measured() -> None:
    (resolved,) = asked(LOW_PASS, "w >> 1/(R1*C1)").statements
    assert resolved.ratio is not None
    assert resolved.ratio < 1


TANK = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1k", between = ["in", "out"] }
L1 = { inductor = "INDUCTANCE", between = ["out", "m"] }
R2 = { resistor = "1", between = ["m", "gnd"] }
C1 = { capacitor = "1 µF", between = ["m", "out"] }
"""


def test_powers_of_s_that_cancel_at_an_end_of_the_band_are_left_alone() -> None:
    """At resonance 1 + s²LC vanishes, and a small term between the two is all there is."""
    resonant = TANK.replace("INDUCTANCE", "63.3257 µH")  # 1/(2 pi sqrt(L C)) = 20 kHz, the end of the band
    statement = "R1 >> w*L1"
    found = asked(resonant, statement, "w*R1*C1 >> 1")
    reduced = found.reduced("A")
    assert any(power is None for _, power in reduced.kept_whole)
    aside = asked(TANK.replace("INDUCTANCE", "6 nH"), statement)
    assert aside.reduced("A").kept_whole == ()
    assert aside.reduced("A").dropped


LADDER = "".join(
    f'R{k} = {{ resistor = "{k}k", between = ["n{k - 1}", "n{k}"] }}\n'
    f'C{k} = {{ capacitor = "{k * 10}p", between = ["n{k}", "gnd"] }}\n'
    for k in range(1, 7)
)


def test_pruning_at_the_nodes_of_the_diagram_compares_powers_of_s_too() -> None:
    parts = 'Vs = { signal = "voltage", between = ["n0", "gnd"] }\n' + LADDER
    question = 'A: gain = { from = "n0", to = "n6" }'
    statements = [f"w << 1/(R{k}*C{j})" for k in range(1, 7) for j in range(1, 7)]
    found = Asked(circuit(parts, question, assume=statements, about=ABOUT))
    cone = Cone(tuple(g for s in found.statements for g in s.generators))
    inquiry = found.inquiries["A"]
    elements = {e.name: e for e in inquiry.network.elements}
    tables = [expand_pruned(d, elements, found.ground.ring, cone) for d in diagrams(inquiry)]
    assert [len(table) for table in tables] == [1, 1]
    assert found.reduced("A").ratio == found.formula("1")
    assert found.exact("A").terms[1] > 50

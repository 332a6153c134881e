"""Statements and what they mean in a network; statements without meaning, refused in the author's words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.approximate.records import Resolved
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import circuit

PARTS = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", collector = "out", emitter = "e", gm = "40 mS", rpi = "5k", ro = "100k", cmu = "2p" }
Re = { resistor = "1k", between = ["e", "gnd"] }
Rc = { resistor = "10k", between = ["out", "gnd"] }
Rf = { resistor = "1M", between = ["in", "mid"] }
Rm = { resistor = "1M", between = ["mid", "gnd"] }
C1 = { capacitor = "1 µF", between = ["e", "gnd"] }
L1 = { inductor = "1 mH", between = ["out", "gnd"] }
"""
GAIN = 'A: gain = { from = "in", to = "out" }'
ZOUT = 'Z: impedance = { at = "out" }'


def asked(*assume: str) -> Asked:
    return Asked(circuit(PARTS, GAIN, ZOUT, assume=assume))


def one(statement: str) -> Resolved:
    (found,) = asked(statement).statements
    return found


def exponents(statement: str) -> list[dict[str, int]]:
    found = asked(statement)
    names = found.ground.ring.names
    return [
        {n: e for n, e in zip(names, g.exponents, strict=True) if e} for s in found.statements for g in s.generators
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("statement", "expected"),
    [
        ("Rc >> Re", [{"Rc": 1, "Re": -1}]),
        ("Re << Rc", [{"Rc": 1, "Re": -1}]),
        ("beta_Q1 >> 1", [{"gm_Q1": 1, "rpi_Q1": 1}]),
        ("gm_Q1*Re >> 1", [{"gm_Q1": 1, "Re": 1}]),
        ("Re + Rc >> 2*rpi_Q1", [{"Rc": 1, "rpi_Q1": -1}]),
        # Rc beside the sum Re + rpi: one ratio for each of them.
        ("Rc >> Re + rpi_Q1", [{"Rc": 1, "Re": -1}, {"Rc": 1, "rpi_Q1": -1}]),
        # gm Re Rc >> Re + Rc: the parallel combination cleared to positive sums.
        ("gm_Q1*(Re || Rc) >> 1", [{"gm_Q1": 1, "Rc": 1}, {"gm_Q1": 1, "Re": 1}]),
        ("1/Re >> 1/Rc", [{"Rc": 1, "Re": -1}]),
    ],
)
def test_generators(statement: str, expected: list[dict[str, int]]) -> None:
    found = exponents(statement)
    assert sorted(found, key=str) == sorted(expected, key=str)


def test_ratios_are_measured() -> None:
    assert one("gm_Q1*Re >> 1").ratio == 40
    assert one("Rc >> Re + rpi_Q1").ratio == 2, "the smallest of its ratios"
    assert one("ro_Q1 -> inf").ratio is None


@pytest.mark.parametrize(
    ("statement", "deleted", "contracted"),
    [
        ("ro_Q1 -> inf", ("ro_Q1",), ()),
        ("Re -> 0", (), ("Re",)),
        ("gm_Q1 -> 0", ("gm_Q1",), ()),
        ("gm_Q1 -> inf", (), ("gm_Q1",)),
        ("Cmu_Q1 -> 0", ("Cmu_Q1",), ()),
        ("C1 -> inf", (), ("C1",)),
        ("L1 -> 0", (), ("L1",)),
        ("L1 -> inf", ("L1",), ()),
        ("beta_Q1 -> inf", ("rpi_Q1",), ()),
        ('short = ["C1", "L1"]', (), ("C1", "L1")),
        ('open = ["C1"]', ("C1",), ()),
        ('ideal_bootstrap = "Rf"', ("Rf",), ()),
    ],
)
def test_limits(statement: str, deleted: tuple[str, ...], contracted: tuple[str, ...]) -> None:
    limit = one(statement).limit
    assert limit is not None
    assert (limit.deleted, limit.contracted) == (deleted, contracted)


@pytest.mark.parametrize(
    ("statement", "fragment"),
    [
        ("Rc - Re >> rpi_Q1", "difference"),
        ("Re >> Re", "itself"),
        ("Re -> 5", "0 or to inf"),
        ("Re*Rc -> 0", "one symbol"),
        ("beta_Q1 -> 0", "no transistor"),
        ("Re >> 1/(s*C1)", "s is not a symbol"),
        ("Re >> C1", "unit"),
        ("R7 >> Re", "R7"),
        ("ro_Q7 -> inf", "ro_Q7"),
        ("Re = Rc", "="),
    ],
)
def test_statements_without_meaning(statement: str, fragment: str) -> None:
    with pytest.raises(DescriptionError) as caught:
        _ = asked(statement).statements
    assert fragment in str(caught.value)
    assert caught.value.line is not None


def test_limits_act_on_answers() -> None:
    """ro -> inf and a shorted emitter: the textbook's -gm Rc, here beside an inductance."""
    found = asked("ro_Q1 -> inf", "Cmu_Q1 -> 0", 'short = ["C1"]', "L1 -> inf")
    assert found.reduced("A").ratio == found.formula("-gm_Q1*Rc")
    assert found.reduced("A").dropped == ()


def test_an_ideal_device_holds_its_control_at_zero() -> None:
    """gm -> inf: the emitter follows the base, and the gain is -(Rc || sL1)/(Re || 1/sC1); rpi carries nothing."""
    found = asked("gm_Q1 -> inf", "Cmu_Q1 -> 0")
    assert found.reduced("A").ratio != found.exact("A").ratio
    deleted = asked("gm_Q1 -> inf", "Cmu_Q1 -> 0", "ro_Q1 -> inf")
    assert deleted.reduced("A").ratio == deleted.formula("-(Rc || (s*L1))/(Re || (1/(s*C1)))")


def test_what_a_limit_leaves_hanging_is_removed() -> None:
    """A snubber opened at both ends touches nothing that is asked about: the divider stays what it was."""
    parts = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1k", between = ["in", "out"] }
R2 = { resistor = "1k", between = ["out", "gnd"] }
Rx = { resistor = "100k", between = ["out", "m"] }
Cx = { capacitor = "1n", between = ["m", "n"] }
Ry = { resistor = "100k", between = ["n", "gnd"] }
"""
    found = Asked(circuit(parts, GAIN, assume=('open = ["Rx", "Ry"]',)))
    assert found.reduced("A").ratio == found.formula("R2/(R1 + R2)")


def test_limits_that_take_all_from_a_port_leave_an_infinite_impedance() -> None:
    parts = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
C1 = { capacitor = "1n", between = ["in", "a"] }
R1 = { resistor = "1k", between = ["a", "gnd"] }
"""
    found = Asked(circuit(parts, 'Z: impedance = { at = "a" }', assume=("C1 -> 0", "R1 -> inf")))
    assert found.reduced("Z").spectrum is None


def test_sums_that_cancel_are_kept_whole() -> None:
    """gm_1 R1 - gm_2 R2 nearly vanishes at these values: nothing is dropped there, and it is said."""
    parts = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
G1 = { transconductance = "10 mS", from = ["out", "gnd"], sense = ["in", "gnd"] }
G2 = { transconductance = "9.9 mS", from = ["gnd", "out"], sense = ["in", "gnd"] }
R1 = { resistor = "10k", between = ["in", "out"] }
R2 = { resistor = "1k", between = ["out", "gnd"] }
"""
    found = Asked(circuit(parts, GAIN, assume=("G1*R1 >> 1",)))
    reduced = found.reduced("A")
    assert ("numerator", 0) in reduced.kept_whole
    assert reduced.ratio == found.exact("A").ratio
    assert reduced.dropped == ()
    other = Asked(circuit(parts.replace("9.9 mS", "2 mS"), GAIN, assume=("G1*R1 >> 1",)))
    assert other.reduced("A").kept_whole == ()
    assert len(other.reduced("A").dropped) == 1


def test_values_of_generators_are_exact() -> None:
    (statement,) = asked("ro_Q1 >> Rc").statements
    assert [g.value for g in statement.generators] == [Fraction(10)]

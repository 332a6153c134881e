"""What an estimate takes back: verdicts whose cause went away, numbers that rest on a device that was refuted.

All circuits and values are invented; the laws that the expected numbers follow from are elementary.
"""

from __future__ import annotations

from time import process_time

import pytest

from derive.bias.estimate.estimate import estimate
from derive.bias.records import Estimate
from derive.circuit.records import Part
from derive.words import Reading
from tests.bias.test_estimate import DROP, bipolar, circuit, fet, part, resistor, solved, stage, supply, text

VCC, VEE = supply("Vcc", "vcc gnd", 24), supply("Vee", "vee gnd", -24)
STRONG = {"Idss_J1": 2e-3, "Vp_J1": 4.0}
"""A p-channel FET whose gate is at ground and whose source is pulled up would have to carry more than its Idss."""


def overdriven() -> tuple[Part, ...]:
    return (resistor("Rg", "g gnd", 1e6), fet("J1", "g d s", "p-channel"), resistor("Rd", "gnd d", 8.2e3),
            resistor("Rs", "s vcc", 120))  # fmt: skip


def follower_behind() -> tuple[Part, ...]:
    return (bipolar("Q1", "d vcc o"), resistor("Ro", "o gnd", 22e3), bipolar("Q2", "o y e"),
            resistor("Re", "e gnd", 150), resistor("Ry", "vcc y", 150))  # fmt: skip


def pair(left: str, right: str = "gnd") -> tuple[Part, ...]:
    return (bipolar("Q1", f"{left} x t"), bipolar("Q2", f"{right} y t"), resistor("Rx", "vcc x", 8.2e3),
            resistor("Ry", "vcc y", 2.7e3), resistor("Rt", "t vee", 2.7e3))  # fmt: skip


def steps_with(found: Estimate, word: str) -> list[str]:
    return [line for line in text(found).splitlines() if word in line.split(" | ")[0] and " | " in line]


def test_base_current_of_a_saturated_device_whose_base_is_held() -> None:
    found = solved(VCC, VEE, bipolar("Q1", "gnd c e"), resistor("Rc", "vcc c", 5.6e3), resistor("Re", "e vee", 1.2e3))
    (row,) = [line for line in text(found).splitlines() if "Ib_Q1 ≈" in line]
    assert row.startswith("base current of Q1: ")
    assert f"{(24 - DROP) / 1.2e3 - (24 - 0.2 + DROP) / 5.6e3:.4g} A" in row


@pytest.mark.parametrize(("load", "beyond"), [(1.5e3, False), (56e3, True)])
def test_a_collector_far_beyond_the_supplies_is_told_without_its_number(load: float, beyond: bool) -> None:
    parts = (VCC, resistor("R1", "vcc b", 10e3), resistor("R2", "b gnd", 10e3), bipolar("Q1", "b c e"))
    found = solved(*parts, resistor("Rc", "vcc c", load), resistor("Re", "e gnd", 1e3))
    (step,) = [one for one in found.steps if "saturated" in str(one.rule) and not one.lines]
    assert ("beyond the supplies" in str(step.rule)) is beyond
    assert any(isinstance(word, Reading) for word in (*step.rule, *step.number)) is not beyond


def test_a_base_current_that_would_drop_more_than_the_supplies_give() -> None:
    parts = (VCC, resistor("R1", "vcc b", 10e6), resistor("R2", "b gnd", 10e6), bipolar("Q1", "b vcc e"))
    found = solved(*parts, resistor("Re", "e gnd", 100))
    (row,) = steps_with(found, "it counts")
    assert "more than the supplies give" in row


def test_a_mode_goes_with_the_mode_that_it_came_from() -> None:
    """The second of the pair holds the FET's drain near ground, until it is off: then the FET is pinched off again."""
    jfet = (
        resistor("Rg", "g gnd", 1e6),
        fet("J1", "g d s"),
        resistor("Rd", "vcc d", 2.7e3),
        resistor("Rs", "s gnd", 3.3e3),
    )
    found = solved(VCC, VEE, *jfet, *pair("d"), Idss_J1=12e-3, Vp_J1=-2.0)
    assert found.why == ""
    assert not steps_with(found, "J1 taken")
    assert not steps_with(found, "J1 would")
    assert not steps_with(found, "J1 is")
    current = found.currents["J1"]
    assert current == pytest.approx(12e-3 * (1 - 3.3e3 * current / 2) ** 2)
    assert found.currents["Q2"] == 0


def test_rounding_decides_no_region() -> None:
    """No step tells a current that is nothing beside the others, and no device is off for one."""
    jfet = (
        resistor("Rg", "g gnd", 1e6),
        fet("J1", "g d s"),
        resistor("Rd", "vcc d", 2.7e3),
        resistor("Rs", "s gnd", 3.3e3),
    )
    for left in ("d", "vcc", "s"):
        found = solved(VCC, VEE, *jfet, *pair(left), Idss_J1=12e-3, Vp_J1=-2.0)
        told = [word for step in found.steps for word in (*step.rule, *step.number) if isinstance(word, Reading)]
        assert all(abs(word.value) > 1e-12 or word.value == 0 for word in told)


def test_a_device_whose_current_hangs_on_junctions_that_differ_is_not_off() -> None:
    found = solved(VCC, VEE, resistor("Rb", "b gnd", 47e3), *pair("b"))
    assert found.why.startswith("Q1: its current hangs on how its junction differs")
    assert "Q1" not in found.currents
    assert found.nodes["t"] == pytest.approx(-DROP)
    assert not steps_with(found, "off")


def test_a_junction_that_is_off_is_told_with_what_it_lacks() -> None:
    """An LED beside the junction of a transistor without emitter resistor stays dark."""
    parts = (VCC, resistor("R1", "vcc a", 3.3e3), part("diode", "D1", "a gnd", "led"), bipolar("Q1", "a c gnd"))
    found = solved(*parts, resistor("Rc", "vcc c", 1e3))
    assert found.currents["D1"] == 0
    (row,) = steps_with(found, "D1 is off")
    assert "only 0.65 V of the 1.8 V" in row


def test_devices_that_contradict_themselves_either_way() -> None:
    """A saturated base that feeds its collector backwards: no verdict stands, and nothing of the device is told."""
    first = (part("diode", "D1", "l vee", "led"), resistor("Rl", "vcc l", 3.3e3), bipolar("Q1", "l o e"))
    rest = (resistor("Re", "e vee", 6.8e3), resistor("Ro", "vcc o", 820), bipolar("Q2", "o c vee"))
    found = solved(VCC, VEE, *first, *rest, resistor("Rf", "c o", 18e3), resistor("Rc", "vcc c", 4.7e3))
    assert "Q1" in found.why
    assert "contradict" in found.why
    assert not {"Q1", "D1"} & set(found.currents)
    assert not {"l", "e", "o"} & set(found.nodes)
    assert not steps_with(found, "Q1")
    assert not steps_with(found, "D1")


def test_what_rests_on_a_refuted_device_goes() -> None:
    found = solved(VCC, *overdriven(), *follower_behind(), **STRONG)
    assert found.why.startswith("J1: it would have to carry more than its Idss")
    assert set(found.nodes) == {"vcc", "gnd", "g"}
    assert not {"J1", "Q1", "Q2"} & set(found.currents)
    assert "J1" not in text(found).split("why")[0]
    assert "Vgs" not in text(found)


def test_a_refuted_device_does_not_switch_off_the_checks_of_others() -> None:
    """Beside it another stage saturates, and a follower whose base is at ground is off."""
    low = (resistor("Ra", "f gnd", 10e3), bipolar("Q4", "f vcc h"), resistor("Rh", "h gnd", 1e3))
    other = [
        resistor(p.name, " ".join(p.pins.values()), 47e3) if p.name == "Rc" else p for p in stage() if p.name != "Vcc"
    ]
    both, alone = solved(VCC, *overdriven(), *other, *low, **STRONG), solved(VCC, *other, *low)
    assert both.why
    assert not alone.why
    assert {name: both.currents[name] for name in alone.currents} == pytest.approx(dict(alone.currents))
    assert {node: both.nodes[node] for node in alone.nodes} == pytest.approx(dict(alone.nodes))
    assert both.currents["Q4"] == 0
    assert both.nodes["h"] == 0


def test_twenty_devices_in_a_row_take_no_time() -> None:
    """About a tenth of a second where this was written; the bound leaves room for slow machines."""
    parts: list[Part] = [VCC]
    for place in range(20):
        parts += [bipolar(f"Q{place}", f"b{place} c{place} e{place}")]
        parts += [resistor(f"RA{place}", f"vcc b{place}", 47e3), resistor(f"RB{place}", f"b{place} gnd", 10e3)]
        parts += [resistor(f"RC{place}", f"vcc c{place}", 3.3e3), resistor(f"RE{place}", f"e{place} gnd", 1.5e3)]
        if place:
            parts.append(resistor(f"RX{place}", f"c{place - 1} b{place}", 100e3))
    start = process_time()
    found = estimate(circuit(*parts), {f"betaF_Q{place}": 200.0 for place in range(20)})
    assert process_time() - start < 1.0
    assert found.why == ""

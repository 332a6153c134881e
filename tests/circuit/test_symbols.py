"""The symbols of each kind of part: only those whose values are stated."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.circuit.parts import KINDS, is_finite, is_stated
from derive.circuit.records import Part, Quantity
from derive.circuit.symbols import QUANTITIES, controlled_sources, symbols_of, symbols_of_all, why_missing
from derive.expression.dimension import UNITS


def part(name: str, kind: str, *keys: str) -> Part:
    values = {key: Quantity(Fraction(1), "1", "1") for key in keys}
    return Part(name, kind, "", {}, values, ("parts", name))


@pytest.mark.parametrize(
    ("one", "symbols"),
    [
        (part("R1", "resistor", "resistance"), {"R1": "Ω"}),
        (part("C1", "capacitor"), {"C1": "F"}),
        (part("L1", "inductor"), {"L1": "H"}),
        (part("Link1", "transconductance"), {"Link1": "S"}),
        (part("Q1", "bjt", "ic", "beta"), {"gm_Q1": "S", "rpi_Q1": "Ω", "beta_Q1": "1"}),
        (
            part("Q1", "bjt", "ic", "beta", "va", "rb", "cpi", "cmu"),
            {
                "gm_Q1": "S",
                "rpi_Q1": "Ω",
                "beta_Q1": "1",
                "ro_Q1": "Ω",
                "rb_Q1": "Ω",
                "Cpi_Q1": "F",
                "Cmu_Q1": "F",
            },
        ),
        (part("J1", "jfet", "gm"), {"gm_J1": "S"}),
        (
            part("J1", "jfet", "id", "lambda", "cgs", "cgd"),
            {"gm_J1": "S", "ro_J1": "Ω", "Cgs_J1": "F", "Cgd_J1": "F"},
        ),
        (
            part("Q1", "bjt", "hfe", "ft", "cob"),
            {
                "gm_Q1": "S",
                "rpi_Q1": "Ω",
                "beta_Q1": "1",
                "Cpi_Q1": "F",
                "Cmu_Q1": "F",
            },
        ),
        (part("J1", "jfet", "idss", "yfs", "ciss", "crss"), {"gm_J1": "S", "Cgs_J1": "F", "Cgd_J1": "F"}),
        (
            part("M1", "mosfet", "k", "vth", "lambda", "cgs", "crss"),
            {"gm_M1": "S", "ro_M1": "Ω", "Cgs_M1": "F", "Cgd_M1": "F"},
        ),
        (part("D1", "diode", "rd", "cj"), {"rd_D1": "Ω", "Cj_D1": "F"}),
        (part("V1", "supply"), {}),
        (part("V1", "signal"), {}),
        (part("U1", "opamp"), {}),
        (part("U1", "opamp", "gain"), {"a0_U1": "1"}),
        (part("U1", "opamp", "gain", "gbw"), {"a0_U1": "1", "tau_U1": "s"}),
    ],
)
def test_symbols(one: Part, symbols: dict[str, str]) -> None:
    assert symbols_of(one) == symbols


def test_the_table_names_only_keys_and_units_that_there_are() -> None:
    for kind, rows in QUANTITIES.items():
        known = {value.key for value in KINDS[kind].values}
        for _, unit, keys in rows:
            assert unit in UNITS
            assert set(keys) <= known


def test_every_value_of_a_way_is_a_value_of_its_kind() -> None:
    for kind in KINDS.values():
        known = {value.key for value in kind.values}
        assert kind.shared_keys <= known
        used = kind.shared_keys.union(*(way.keys for way in kind.ways))
        assert used == known
        assert set(kind.law) <= known
        assert set(kind.together) <= set(kind.law)


def test_controlled_sources() -> None:
    devices = [part("Q1", "bjt"), part("J1", "jfet"), part("M1", "mosfet"), part("Link1", "transconductance")]
    parts = [*devices, part("R1", "resistor"), part("U1", "opamp"), part("U2", "opamp", "gbw")]
    found = {"gm_Q1": "Q1", "gm_J1": "J1", "gm_M1": "M1", "Link1": "Link1", "U2": "U2"}
    assert controlled_sources(parts) == found
    assert list(symbols_of_all(parts))[:3] == ["gm_Q1", "rpi_Q1", "beta_Q1"]


@pytest.mark.parametrize(
    ("one", "stated"),
    [
        (part("Q1", "bjt", "beta"), False),
        (part("Q1", "bjt", "beta", "ic"), True),
        (part("Q1", "bjt", "gm", "rpi"), True),
        (part("J1", "jfet", "idss", "vp"), False),
        (part("M1", "mosfet", "k", "id"), True),
        (part("D1", "diode"), False),
        (part("D1", "diode", "rd"), True),
        (part("R1", "resistor", "resistance"), False),
    ],
)
def test_a_device_is_stated_or_solved(one: Part, stated: bool) -> None:
    assert is_stated(one) is stated


def test_an_op_amp_is_finite_by_its_values() -> None:
    assert is_finite(part("U1", "opamp", "gbw"))
    assert not is_finite(part("U1", "opamp"))


def test_why_a_symbol_is_missing() -> None:
    parts = {"Q1": part("Q1", "bjt", "ic", "beta"), "V1": part("V1", "supply")}
    reason = why_missing("ro_Q1", parts)
    assert reason is not None
    assert reason[0] == "ro_Q1 is not in this circuit: Q1 states no va or ro"
    assert why_missing("Cpi_Q1", parts) == (
        "Cpi_Q1 is not in this circuit: Q1 states no cpi or ft",
        "give Q1 a value for cpi or ft, or leave the statement out",
    )
    assert why_missing("V1", parts) is not None
    assert why_missing("gm_Q7", parts) is None
    assert why_missing("Cgs_Q1", parts) is None

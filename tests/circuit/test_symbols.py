"""The symbols of each kind of part: only those whose values are stated."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.circuit.parts import KINDS
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
        (part("D1", "diode", "rd", "cj"), {"rd_D1": "Ω", "Cj_D1": "F"}),
        (part("V1", "supply"), {}),
        (part("V1", "signal"), {}),
        (part("U1", "opamp"), {}),
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
        assert set(kind.shared) <= known
        used = set(kind.shared).union(*(way.keys for way in kind.ways))
        assert used == known or not kind.ways


def test_controlled_sources() -> None:
    parts = [part("Q1", "bjt"), part("J1", "jfet"), part("Link1", "transconductance"), part("R1", "resistor")]
    assert controlled_sources(parts) == {"gm_Q1": "Q1", "gm_J1": "J1", "Link1": "Link1"}
    assert list(symbols_of_all(parts))[:3] == ["gm_Q1", "rpi_Q1", "beta_Q1"]


def test_why_a_symbol_is_missing() -> None:
    parts = {"Q1": part("Q1", "bjt", "ic", "beta"), "V1": part("V1", "supply")}
    reason = why_missing("ro_Q1", parts)
    assert reason is not None
    assert reason[0] == "ro_Q1 is not in this circuit: Q1 states no va or ro"
    assert why_missing("V1", parts) is not None
    assert why_missing("gm_Q7", parts) is None
    assert why_missing("Cgs_Q1", parts) is None

"""The netlist: generated names only, lcapy's signs, one text for one network and excitation."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from derive.network.records import Element, Network, Symbol
from derive.opinion.circuit_text import write_circuit

LINE = re.compile(
    r"[VI]1 \d+ \d+ s \{1/1\}|W\d+ \d+ \d+|[RCL]\d+ \d+ \d+ \{-?\d+/\d+\}|[GE]\d+( \d+){4} \{-?\d+/\d+\}"
)


def test_every_line_is_a_generated_name_node_numbers_and_a_fraction(case):
    lines = write_circuit(case.inquiry, case.values).netlist.splitlines()
    assert len(lines) > 1
    assert all(LINE.fullmatch(line) for line in lines), lines


def test_no_name_of_the_description_gets_into_the_text(stage):
    evil = "__import__('os').abort()"
    element = Element(evil, evil, "resistance", (evil, "gnd"), (evil, "gnd"))
    network = Network((element,), (), (), {evil: Symbol(evil, evil, "", "Ω", 5)}, {})
    inquiry = replace(stage.inquiry, name=evil, network=network, port=(evil, "gnd"), above=(evil, "gnd"))
    assert write_circuit(inquiry, {evil: 5}).netlist == "V1 1 0 s {1/1}\nR1 1 0 {5/1}\n"


def test_a_controlled_source_swaps_its_output_nodes(stage):
    text = write_circuit(stage.inquiry, stage.values)
    c, b, e = (text.numbers[node] for node in "cbe")
    assert f"G1 {e} {c} {b} {e} " in text.netlist


def test_what_is_read_does_not_change_the_text(stage):
    other = replace(stage.inquiry, name="other", above=("e", "gnd"), below=("b", "gnd"))
    assert write_circuit(other, stage.values).netlist == write_circuit(stage.inquiry, stage.values).netlist


def test_zero_values_are_opens_and_shorts(stage):
    values = dict(stage.values) | {"gm_stage_gain": 0, "Re_stage_gain": 0}
    text = write_circuit(stage.inquiry, values).netlist
    assert "G1" not in text
    assert "W1" in text


def test_an_unconnected_node_is_refused(stage):
    text = write_circuit(stage.inquiry, stage.values)
    with pytest.raises(ValueError, match="nothing is connected"):
        text.pair(("nowhere", "gnd"))

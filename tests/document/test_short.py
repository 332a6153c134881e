"""The short form on the page, at a glance and in the record, and what is said of how it came about."""

from __future__ import annotations

import json
import re

import pytest

from derive.derivation.analyse import analyse
from derive.document.compose.worksheet import compose
from derive.document.records import Heading, Ledger, Paragraph, Row, Table
from derive.errors import DescriptionError
from derive.expression.tree import ONE, Name, negate, total
from derive.record import record
from derive.spoken import spoken, spoken_formula
from tests.networks import circuit

STAGE = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", collector = "x", emitter = "gnd", gm = "40 mS", rpi = "5 kΩ", ro = "100 kΩ" }
R1 = { resistor = "4.7 kΩ", between = ["x", "gnd"] }
Q2 = { bjt = "npn", base = "x", collector = "out", emitter = "gnd", gm = "40 mS", rpi = "5 kΩ", ro = "100 kΩ" }
R2 = { resistor = "2.2 kΩ", between = ["out", "gnd"] }
"""
FOLLOWER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
J1 = { jfet = "n-channel", gate = "in", drain = "gnd", source = "out", gm = "4 mS", ro = "500 kΩ" }
Rs = { resistor = "47 kΩ", between = ["out", "gnd"] }
"""
GAIN = 'gain = { from = "in", to = "out" }'


def _blocks(parts: str, question: str, **more):
    analysis = analyse(circuit(parts, question, **more))
    return analysis, compose(analysis, (), {}).blocks


def _rows(blocks) -> list[Row]:
    return [row for block in blocks if isinstance(block, Ledger) for row in block.rows]


def test_a_form_that_was_asked_for_stands_at_the_glance_and_in_its_section() -> None:
    analysis, blocks = _blocks(STAGE, f'A: within = "5 %"\n{GAIN}')
    assert [b for b in blocks if isinstance(b, Heading) and spoken(b.words) == "In short"]
    named = [row for row in _rows(blocks) if row.algebra and row.algebra[0].left == Name("A")]
    first, *others = [row for row in named if row.kind == "approximate"]
    assert first.algebra[0].sign == "≈"
    assert first.algebra == others[0].algebra
    texts = [spoken(b.words) for b in blocks if isinstance(b, Paragraph)]
    assert any("dropped" in text or "Left out" in text for text in texts)
    tables = [b for b in blocks if isinstance(b, Table) and spoken(b.columns[0].head) == "Symbols"]
    assert len(tables) == 1
    assert [spoken(row[2]) for row in tables[0].rows].count("shown above") == 1
    made = record(analysis, {})["answers"]["A"]["short"]
    assert json.loads(json.dumps(made, allow_nan=False)) == made
    assert made["reached"]
    assert made["form"] == spoken_formula(first.algebra[0].right)
    assert made["error"]["worst_error"] < made["within"] == 0.05


def test_nothing_is_added_to_what_can_be_read() -> None:
    analysis, blocks = _blocks(STAGE, f"A: {GAIN}")
    assert analysis.derivations[0].shortened is None
    assert not [b for b in blocks if isinstance(b, Heading) and spoken(b.words) == "In short"]


def test_a_gain_of_one_is_told_by_what_it_lacks() -> None:
    """1 - A of a follower: 1/(gm Rs), and its share of ro."""
    analysis, _ = _blocks(FOLLOWER, f'A: within = "5 %"\n{GAIN}')
    shortened = analysis.derivations[0].shortened
    assert shortened is not None
    assert shortened.short.written.tree == ONE
    lines = [line for step in shortened.steps for line in step.lines]
    assert lines[0].right == ONE
    assert lines[1].left == total(ONE, negate(Name("A")))
    assert "gm_J1" in spoken_formula(lines[1].right)


def test_an_exact_form_is_an_equality() -> None:
    """With an error far below what any term brings, the form is the answer itself and says so."""
    analysis, _ = _blocks(FOLLOWER, f'A: within = "0.0000001 %"\n{GAIN}')
    shortened = analysis.derivations[0].shortened
    assert shortened is not None
    assert shortened.short.exact
    assert shortened.steps[0].lines[0].sign == "="


@pytest.mark.parametrize("value", ['"0 %"', '"-1 %"', "true", '"much"', '"5 V"'])
def test_a_wrong_error_is_refused_in_words(value: str) -> None:
    with pytest.raises(DescriptionError) as caught:
        circuit(STAGE, f"A: within = {value}\n{GAIN}")
    assert re.search(r"line 1\d: question A: within: ", str(caught.value))


def test_a_nearly_balanced_bridge_keeps_its_difference() -> None:
    """R2 R3 - R1 R4 is a twentieth of either product: neither may go, whatever their sizes."""
    bridge = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "p"] }
R2 = { resistor = "1.05 kΩ", between = ["p", "gnd"] }
R3 = { resistor = "1 kΩ", between = ["in", "m"] }
R4 = { resistor = "1 kΩ", between = ["m", "gnd"] }
G1 = { transconductance = "10 mS", from = ["gnd", "out"], sense = ["p", "m"] }
Rl = { resistor = "10 kΩ", between = ["out", "gnd"] }
"""
    analysis, _ = _blocks(bridge, f'A: within = "5 %"\n{GAIN}')
    shortened = analysis.derivations[0].shortened
    assert shortened is not None
    assert shortened.short.reached
    tree = spoken_formula(shortened.short.written.tree) + "".join(
        spoken_formula(piece.tree) for piece in shortened.short.written.pieces
    )
    assert {"R1", "R2", "R3", "R4"} <= set(re.findall(r"R\d", tree))
    assert " - " in tree

"""Question keys, blocks and records of the second roads."""

from __future__ import annotations

import json
from collections.abc import Sequence
from random import Random

import pytest

from derive.derivation.analyse import prepare
from derive.document.compose.theory import blocks
from derive.document.records import Block, Document, Heading, Ledger, Notice, Paragraph, Table, TitleBlock
from derive.errors import DescriptionError
from derive.explain.theory import Theory, theories
from derive.record_theory import theory_records
from derive.spoken import spoken
from derive.typeset import render
from tests.networks import Piece, circuit, random_active

PARTS = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Rs = { resistor = "10 kΩ", between = ["in", "g"] }
J1 = { jfet = "n-channel", gate = "g", drain = "d", source = "out", gm = "4 mS", ro = "50 kΩ", MORE }
Q1 = { bjt = "pnp", base = "d", emitter = "gnd", collector = "out", gm = "40 mS", rpi = "5 kΩ" }
Rd = { resistor = "1 kΩ", between = ["d", "gnd"] }
Rk = { resistor = "2.2 kΩ", between = ["out", "gnd"] }
Rg = { resistor = "10 MΩ", between = ["g", "out"] }
"""
PARTS = PARTS.replace("MORE", 'cgs = "4 pF", cgd = "2 pF"')
GAIN = 'A: gain = { from = "in", to = "out" }'
ZIN = 'Zin: impedance = { at = "g", without = ["Rs"] }'
NOWHERE = TitleBlock("test", None, None, None, None, None, None, None, "en")


def told(found: Sequence[Block]) -> str:
    lines: list[str] = []
    for block in found:
        match block:
            case Heading(_, words, _) | Paragraph(words) | Notice(_, words):
                lines.append(spoken(words))
            case Ledger(rows):
                lines += [spoken(row.rule) + spoken(row.number) + spoken(row.note) for row in rows]
            case Table(columns, rows, caption):
                lines += [spoken(c.head) for c in columns] + [spoken(cell) for row in rows for cell in row]
                lines.append(spoken(caption))
    return "\n".join(lines)


@pytest.fixture(scope="module")
def found() -> tuple[Theory, ...]:
    return theories(prepare(circuit(PARTS, f'{GAIN}\nextra = "Cgs_J1"', ZIN)))


def test_every_road_is_told(found: tuple[Theory, ...]) -> None:
    gain, port = (told(blocks(one, 1000.0)) for one in found)
    for words in (
        "The same by feedback theory",
        "return ratio of gm_",
        "equal to the nodal answer as polynomials",
        "The extra element Cgs_J1",
        "Corners by time constants",
        "The sum puts the upper corner at",
        "Error voltages",
        "gate and source",
        "What owns each pole and zero",
    ):
        assert words in gain
    for words in (
        "its loop raises the magnitude by a factor of",
        "Bootstraps under the excitation of Zin",
        "runs from g",
    ):
        assert words in port


def test_blocks_can_be_set(found: tuple[Theory, ...]) -> None:
    """All names and symbols are known to the typesetter."""
    prepared = prepare(circuit(PARTS, GAIN, ZIN))
    every = tuple(block for one in found for block in blocks(one, 1000.0))
    sheet = render(Document(NOWHERE, every, ()), prepared.network.symbols, ["J1", "Q1"])
    assert r"\mathrm" in sheet.tex


def test_record_is_plain_data(found: tuple[Theory, ...]) -> None:
    record = json.loads(json.dumps(theory_records(found), allow_nan=False))
    assert set(record) == {"bootstraps", "feedback_theory", "time_constants", "roots"}
    buys = [one["buys"] for one in record["bootstraps"]]
    assert buys == sorted(buys, reverse=True)
    assert {one["symbol"] for one in record["bootstraps"]} >= {"Rg", "Cgs_J1"}
    assert record["feedback_theory"]["A"]["formula"] == "asymptotic gain"
    assert record["feedback_theory"]["Zin"]["formula"] == "Blackman"
    assert record["time_constants"]["A"]["upper"]["by_sum"] > 0
    assert [len(record["roots"]["A"][side]) for side in ("poles", "zeros")] == [2, 1]  # the zeros are one pair


@pytest.mark.parametrize(
    ("question", "what"),
    [
        (f'{GAIN}\nloop = "J1"', "write gm_J1"),
        (f'{GAIN}\nloop = "gm_J2"', "gm_J1"),
        ('T: return_ratio = { of = "gm_J1" }\nloop = "gm_J1"', "loop belongs to a gain or an impedance"),
        ('T: return_ratio = { of = "gm_J1" }\nextra = "Rk"', "extra belongs to a gain or an impedance"),
        (f'{GAIN}\nextra = "Q1"', "Q1 is a"),
        (f'{GAIN}\nextra = "gm_Q1"', "no impedance between two nodes"),
        (f'{GAIN}\nextra = "Rx"', "there is no part Rx"),
    ],
)
def test_wrong_keys(question: str, what: str) -> None:
    with pytest.raises(DescriptionError, match=what):
        circuit(PARTS, question)


def test_author_chooses_the_loop() -> None:
    for symbol in ("gm_J1", "gm_Q1"):
        (one,) = theories(prepare(circuit(PARTS, f'{GAIN}\nloop = "{symbol}"')), thorough=False)
        assert one.loop == symbol
        assert "as the description asks" in told(blocks(one, 1000.0))


def test_a_source_that_is_not_there_is_told_with_its_line() -> None:
    """The stage's second transistor is off by being shorted: both ends of its source are one node."""
    parts = PARTS.replace('collector = "out", gm', 'collector = "gnd", gm')
    with pytest.raises(DescriptionError, match=r"line .*gm_Q1 is not in the network"):
        theories(prepare(circuit(parts, f'{GAIN}\nloop = "gm_Q1"')))


@pytest.mark.parametrize("seed", range(16))
def test_any_circuit_can_be_told(seed: int) -> None:
    """Random circuits, at zero frequency too: no number that is none, and a record that is plain data."""
    source = Random(f"telling {seed}")
    mix = source.choice([("bjt",), ("jfet",), ("opamp", "bjt"), ("transconductance", "opamp")])
    variety = source.choice(["voltage", "current"])
    start = "Vs" if variety == "voltage" else "Is"
    asks = [
        f'A: gain = {{ from = "{"n1" if variety == "voltage" else "Is"}", to = "n3" }}',
        'B: gain = { from = "n2", to = "n3" }',
        'Z: impedance = { at = "n3" }',
        'Zd: impedance = { between = ["n2", "n4"] }',
    ]
    spot = source.choice(["0 Hz", "3 kHz"])
    pieces = [Piece("signal", start, ("n1", "gnd"), {}, variety), *random_active(source, 4, mix)]
    extra = source.choice([p.name for p in pieces if p.kind in ("resistor", "capacitor", "inductor")])
    try:
        prepared = prepare(circuit(pieces, *(f'{ask}\nextra = "{extra}"' for ask in asks), about=f'spot = "{spot}"'))
        found = theories(prepared, thorough=False)
    except DescriptionError:
        pytest.skip("the reader refuses this circuit, or one of its answers is not finite")
    for one in found:
        told(blocks(one, float(prepared.ground.spot)))
    json.dumps(theory_records(found), allow_nan=False)

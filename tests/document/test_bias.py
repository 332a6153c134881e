"""The bias point on the sheet: what is said of each case, and that each number stands where it belongs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from derive.bias.records import DevicePoint, Region, Unsolved
from derive.document.compose import bias, care
from derive.document.records import Heading, Notice, Table
from derive.typeset import compile_pdf, render
from tests.document import biased
from tests.document.biased import BIAS, D1, EVERYTHING, POINT, Q1, Q2, analysis, at, circuit, part, quantity, text_of


def said(*args: object) -> str:
    return text_of(bias.blocks(analysis(*args)))  # type: ignore[arg-type]


def noticed(*args: object) -> list[Notice]:
    found = bias.notices(analysis(*args))  # type: ignore[arg-type]
    assert all(isinstance(block, Notice) for block in found)
    return found  # type: ignore[return-value]


def test_without_anything_to_bias_there_is_no_section() -> None:
    assert bias.blocks(analysis(None)) == []
    assert bias.notices(analysis(None)) == []


@pytest.mark.parametrize("needed", [True, False])
def test_an_unsolved_bias_point_says_why(needed: bool) -> None:
    text = said(Unsolved("Q1 states no law", "give it one", ("parts",), needed))
    assert "Q1 states no law" in text
    assert "give it one" in text
    assert ("None is needed" in text) != needed


def test_the_certificate() -> None:
    text = said()
    assert "more than one part in 10**20 of the 10.80 mA out of all sources" in text
    assert "Of 10 further starts, each with devices on and off by chance, 9 arrived, at the same point" in text
    assert "apart by less than 1 fV" in text
    assert "apart by at most 3.0 nV" in said(EVERYTHING)
    assert "none arrived anywhere" in said(replace(BIAS, met=0))


def test_a_row_a_device() -> None:
    """Small-signal values are those of the network; a symbol that it has not is a dash."""
    lines = said().splitlines()
    assert "Q1 | active | 9.750 mA | 38.10 µA | 652.3 mV | 5.250 V | 379.4 mS | 674.3 Ω | – | 51.2 mW" in lines
    assert "Q2 | active | 1.200 mA | 1.100 V | −2.500 V | – | – | 3.00 mW" in lines
    assert any(line.startswith("D1 | blocking |") for line in lines)
    assert "Part | State | Ic | Ib | Vbe | Vce | gm | rpi | ro | Power" in lines
    assert "none is stated" in said()


def test_a_stated_current_is_marked() -> None:
    stated = part("Q1", "bjt", "npn", dict(biased.PARTS[2].pins), beta=quantity("250", "1"), ic=quantity("0.001", "A"))
    text = said(BIAS, circuit(stated))
    assert "\nQ1* | active" in text
    assert "\nQ2 | active" in text
    assert "* The current or the slopes of a device with this mark are stated by the author" in text


REMARKS: list[tuple[DevicePoint, Region, str]] = [
    (Q1, "saturated", "Q1 is saturated"), (Q1, "reversed", "collector and emitter have changed places"),
    (Q1, "off", "Q1 is off"), (Q2, "ohmic", "Q2 is ohmic"), (Q2, "reversed", "drain and source have changed places"),
    (Q2, "off", "Q2 is off"), (D1, "blocking", "D1 blocks, with −5.25 V across it"),
]  # fmt: skip


@pytest.mark.parametrize(("device", "region", "words"), REMARKS)
def test_every_region_but_the_usual_has_its_remark(device: DevicePoint, region: Region, words: str) -> None:
    moved = replace(device, region=region)
    assert words in said(at(moved))
    if device is D1:
        assert "conducts" not in said(at(replace(D1, region="conducting")))
        return
    (notice,) = noticed(at(moved))
    assert notice.kind == "note"
    assert words not in said()


def test_a_stated_device_in_another_region_is_warned_of() -> None:
    """Its small-signal values are those of an active device, which the circuit's laws deny."""
    stated = part("Q2", "jfet", "p-channel", dict(biased.PARTS[3].pins), idss=quantity("0.006", "A"),
                  vp=quantity("2", "V"), id=quantity("0.001", "A"))  # fmt: skip
    ohmic = at(replace(Q2, region="ohmic"))
    (notice,) = noticed(ohmic, circuit(stated))
    assert notice.kind == "warning"
    text = said(ohmic, circuit(stated))
    assert "at the stated current all the same" in text
    assert "true slopes" not in text


def test_nodes_supplies_and_outputs() -> None:
    text = said()
    assert "Node | Voltage |  | Node | Voltage" in text
    assert "src | 0 V |  | b | 652.3 mV" in text
    assert "far is held by nothing at d.c." in text
    assert "Vcc delivers 10.80 mA, which is 162.0 mW." in text
    assert "The output of U1 stands at 10.50 V and delivers 1.050 mA." in text
    below = part("Vee", "supply", "", {"first": "vee", "second": "gnd"}, voltage=quantity("-5", "V"))
    both = at(
        nodes={**biased.NODES, "vee": -5.0},
        currents={**POINT.currents, "Vee": -2e-3},
        powers={**POINT.powers, "Vee": -0.01},
    )
    assert "Vcc delivers 10.80 mA and Vee delivers 2.000 mA, together 172.0 mW." in said(both, circuit(below))
    charged = at(currents={**POINT.currents, "Vcc": -2e-3}, powers={**POINT.powers, "Vcc": 0.03})
    assert "Vcc takes up 2.000 mA" in said(charged)
    few = replace(POINT, nodes={"gnd": 0.0, "a": 1.0, "b": -2.0}, devices={})
    alone = replace(circuit(), parts={})
    assert "a stands at 1.000 V and b stands at −2.000 V against ground." in said(
        replace(BIAS, points=(few,), parameters=()), alone
    )


@pytest.mark.parametrize(("volts", "told"), [(15.0, False), (0.0, False), (15.1, True), (-0.1, True)])
def test_an_output_outside_the_supplies(volts: float, told: bool) -> None:
    notices = noticed(at(nodes={**biased.NODES, "amp": volts}))
    assert [notice.kind for notice in notices] == (["warning"] if told else [])
    if told:
        assert "outside the supplies of this circuit (0 V to 15 V)" in text_of(list(notices))


def test_ratings() -> None:
    """Half a watt for a resistor and a quarter for a device by default; a caution only where one is passed."""
    assert noticed() == []
    assert "R1 | 95.1 mW | 500 mW (default) | 19 %" in said()
    assert "Q1 | 51.2 mW | 300 mW | 17 %" in said()
    assert "Q2 | 3.00 mW" not in said().partition("Power\n")[2].partition("Parameters")[0]
    (caution,) = noticed(at(powers={**POINT.powers, "R1": 0.51}))
    assert caution.kind == "caution"
    assert "R1 takes up 510 mW at the bias point, more than 500 mW, the default" in text_of([caution])
    (caution,) = noticed(at(powers={**POINT.powers, "Q1": 0.31}))
    assert "more than 300 mW, its rating." in text_of([caution])
    assert noticed(at(powers={**POINT.powers, "R1": 0.49, "Q1": 0.29})) == []
    low = said(at(powers={**POINT.powers, "R1": 0.01, "Q1": 0.01}))
    assert "No part takes up a tenth of its rating; Q1 comes nearest, with 10.0 mW of 300 mW." in low


def test_contradictions() -> None:
    (notice,) = noticed(biased.CONTRADICTED)
    assert notice.kind == "warning"
    assert text_of([notice]) == "Q1: stated 1 mA, the circuit gives 620 µA: 38 % less."
    assert "Q1: stated 1 mA, the circuit gives 620 µA: 38 % less" in said(biased.CONTRADICTED)


def test_several_points() -> None:
    """The node that differs most comes first; the example of how to choose is a point that does not run away."""
    text = said(biased.SEVERAL)
    assert "Point | v(dc out) | v(dc b) | Ic_Q1 | Id_Q2 | Id_D1 | Left to itself" in text
    assert "\n1 | 2.500 V | 652.3 mV | 12.50 mA |" in text
    assert "\n2, used | 5.250 V |" in text
    assert text.count("runs away") == 1
    (notice,) = noticed(biased.SEVERAL)
    words = text_of([notice]).replace("\u00a0", " ")
    assert "3 operating points were found." in words
    assert 'write [bias] and below it near = { out = "100 mV" }.' in words
    renamed = replace(biased.SEVERAL, points=tuple(
        replace(p, nodes={("Q1.collector" if n == "out" else n): v for n, v in p.nodes.items()})
        for p in biased.SEVERAL.points))  # fmt: skip
    words = text_of(list(noticed(renamed, replace(circuit(), parts={})))).replace("\u00a0", " ")
    assert 'near = { "Q1.collector" = "100 mV" }' in words


def test_a_chosen_point_that_runs_away() -> None:
    kinds = [notice.kind for notice in noticed(replace(BIAS, points=(biased.UNSTABLE,)))]
    assert kinds == ["warning"]


def test_the_estimate_beside_the_solved_point() -> None:
    """Nodes differ in volts, currents in per cent; a node that a supply holds is no news."""
    text = said()
    assert "base of Q1: one conducting junction above its emitter [650 mV]" in text
    assert "common practice, no source) approximate" in text
    assert "v(dc b) | 650 mV | 652.3 mV | −2.3 mV" in text
    assert "Ic_Q1 | 9.00 mA | 9.750 mA | −7.7 %" in text
    assert "v(dc vcc)" not in text
    assert "The estimate stops here: D1: no rule gives its current." in text


def test_parameters_are_shown_once() -> None:
    """Not what the part list states, nor what the table of symbols has."""
    text = said().partition("Parameters of the laws")[2]
    assert "betaF_Q1 | current gain of the law of Q1 | hfe_Q1 | 250.0 | betaF_Q1" in text
    assert "Itest_Q1/(exp(Vtest_Q1/VT) - 1)" in text
    assert "n_D1 | emission coefficient of D1, taken because none is stated | assumed | 1 | n_D1" in text
    assert "VA_Q1 |" not in text
    assert "\nVtest_Q1 |" not in text


def test_the_caution_for_voltages_knows_the_bias_point() -> None:
    assert care.cautions(circuit(), BIAS) == []
    high = at(nodes={**biased.NODES, "amp": -46.0})
    (notice,) = care.cautions(circuit(), high)
    assert "can differ by 61.0 V d.c." in text_of([notice])
    assert care.cautions(circuit(), None) == []


def test_limits_say_what_is_neglected() -> None:
    known, unknown = (text_of(care.method(analysis(one), ())) for one in (BIAS, None))
    assert "gate currents of junction FETs are neglected" in known
    assert "breakdown" in known
    assert "self-heating" in known
    assert "Currents and small-signal values are as stated" in unknown
    assert "Currents and small-signal values are as stated" not in known


@pytest.mark.tex
def test_everything_fits_the_page() -> None:
    """An overfull line is an error of the compilation; tables keep within the text."""
    blocks = [*bias.notices(analysis(EVERYTHING)), *bias.blocks(analysis(EVERYTHING))]
    assert isinstance(blocks[-1], Table)
    assert sum(isinstance(block, Heading) for block in blocks) == 7
    sheet = render(biased.document(blocks), biased.NETWORK.symbols, biased.DEVICES)
    assert compile_pdf(sheet.tex, sheet.pictures).startswith(b"%PDF")
    # Direct voltages have a large V, where the signal at that node has a small one.
    assert r"V_{\mathrm{out}}" in sheet.tex
    assert r"v_{\mathrm{out}}" not in sheet.tex

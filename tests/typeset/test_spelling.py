"""Symbols are spelt as the trade writes them, and no two alike."""

from __future__ import annotations

import pytest

from derive.errors import Defect
from derive.expression.tree import Name, Sym, Volt
from derive.typeset.spelling import Spelling

SYMBOLS = {
    "R1": "R_{1}", "R12": "R_{12}", "Rs": r"R_{\mathrm{s}}", "Rload": r"R_{\mathrm{load}}", "RL": r"R_{\mathrm{L}}",
    "Rb1": r"R_{\mathrm{b1}}", "R1A": r"R_{\mathrm{1A}}", "Cb": r"C_{\mathrm{b}}", "Link1": r"\mathrm{Link1}",
    "VT": r"V_{\mathrm{T}}", "gm_Q1": r"g_{\mathrm{m1}}", "ro_Q1": r"r_{\mathrm{o1}}", "rpi_Q1": r"r_{\pi 1}",
    "rb_Q1": r"r_{\mathrm{b1}}", "beta_Q1": r"\beta_{1}", "Cpi_Q1": r"C_{\pi 1}", "Cmu_Q1": r"C_{\mu 1}",
    "Cgs_Q3": r"C_{\mathrm{gs3}}", "Cgd_Q3": r"C_{\mathrm{gd3}}", "lambda_Q3": r"\lambda_{3}",
    "rd_D2": r"r_{\mathrm{d,D2}}", "gm_Q2": r"g_{\mathrm{m,Q2}}", "rpi_Q2": r"r_{\pi \mathrm{,Q2}}",
    "VA_Q1": r"V_{\mathrm{A1}}", "Idss_Q3": r"I_{\mathrm{dss3}}", "a0_U7": r"a_{\mathrm{0,7}}",
    "gbw_U7": r"f_{\mathrm{T7}}", "tau_U7": r"\tau_{7}", "betaF_Q1": r"\beta_{\mathrm{F1}}",
    "Is_Q1": r"I_{\mathrm{S1}}", "Is": r"I_{\mathrm{s}}", "Vth_Q3": r"V_{\mathrm{th3}}", "k_Q3": "k_{3}",
    "n_D2": r"n_{\mathrm{D2}}", "rmu_Q1": r"r_{\mu 1}", "I_R1": r"I_{\mathrm{R1}}", "I_Q3": r"I_{\mathrm{Q3}}",
    "fT_Q1": r"f_{\mathrm{T1}}", "Cob_Q1": r"C_{\mathrm{ob1}}", "Ciss_Q3": r"C_{\mathrm{iss3}}",
    "Crss_Q3": r"C_{\mathrm{rss3}}", "yfs_Q3": r"y_{\mathrm{fs3}}", "hfe_Q1": r"h_{\mathrm{fe1}}",
    "Vtest_Q1": r"V_{\mathrm{test1}}", "Vgs_Q3": r"V_{\mathrm{gs3}}", "Vbe": r"V_{\mathrm{be}}",
    "Ic": r"I_{\mathrm{c}}", "rpi": r"r_{\pi}", "gm": r"g_{\mathrm{m}}", "Cpi": r"C_{\mathrm{pi}}",
}  # fmt: skip
NODES = {
    "out": r"v_{\mathrm{out}}", "1": "v_{1}", "n_1": r"v_{\mathrm{n\_1}}", "in+": r"v_{\mathrm{in+}}",
    "Q2.collector": r"v_{\mathrm{Q2,c}}", "Q3.source": r"v_{\mathrm{Q3,s}}", "U7.minus": r"v_{\mathrm{U7,-}}",
    "Q1.inner_base": r"v_{\mathrm{Q1.inner\_base}}", "dc out": r"V_{\mathrm{out}}",
    "dc Q2.collector": r"V_{\mathrm{Q2,c}}",
}  # fmt: skip
NAMES = {
    "A": "A", "T": "T", "Zin": r"Z_{\mathrm{in}}", "Zout": r"Z_{\mathrm{out}}", "Av": r"A_{\mathrm{v}}",
    "boot": r"\mathrm{boot}", "Loop": r"\mathrm{Loop}", "a_1": "a_{1}", "b_2": "b_{2}", "H_0": "H_{0}",
    "tau_1": r"\tau_{1}", "tau": r"\tau", "A_inf": r"A_{\infty}", "T1": "T_{1}", "Z_oc": r"Z_{\mathrm{oc}}",
}  # fmt: skip
SPELLING = Spelling.of(SYMBOLS, ["Q1", "Q2", "Q3", "D2", "U7"], NODES, NAMES)


@pytest.mark.parametrize(("name", "latex"), SYMBOLS.items())
def test_symbols(name: str, latex: str) -> None:
    assert SPELLING.spell(Sym(name)).latex == latex


@pytest.mark.parametrize(("name", "latex"), NODES.items())
def test_nodes(name: str, latex: str) -> None:
    assert SPELLING.spell(Volt(name)).latex == latex


@pytest.mark.parametrize(("name", "latex"), NAMES.items())
def test_names(name: str, latex: str) -> None:
    assert SPELLING.spell(Name(name)).latex == latex


def test_variables() -> None:
    spelt = [SPELLING.spell(Sym(name)).latex for name in ("s", "w", "f", "pi")]
    assert spelt == ["s", r"\omega", "f", r"\pi"]


def test_no_two_names_are_spelt_alike() -> None:
    sheet = Spelling.of(
        ["Cj1", "Cj_D1", "R1", "Zin"],
        ["D1"],
        ["a,b".replace(",", "_"), "Q1.base"],
        ["R1", "Zin", "Z_in", "f", "omega", "s"],
    )
    spelt = [s.latex for table in (sheet.symbols, sheet.nodes, sheet.names) for s in table.values()]
    assert len(set(spelt)) == len(spelt)
    assert not {"s", "f", r"\omega"} & set(spelt)
    assert sheet.symbols["Cj1"].latex == r"C_{\mathrm{j1}}"
    assert sheet.symbols["Cj_D1"].latex == r"C_{\mathrm{j,D1}}"
    assert sheet.symbols["R1"].latex == "R_{1}"


def test_a_node_gives_way_to_a_supply() -> None:
    """The direct voltage of a node and a supply of the same name are two things."""
    sheet = Spelling.of(["Vout"], [], ["out", "dc out"])
    assert sheet.symbols["Vout"].latex == r"V_{\mathrm{out}}"
    assert sheet.nodes["dc out"].latex == r"V_{\mathrm{out,dc}}"
    assert sheet.nodes["out"].latex == r"v_{\mathrm{out}}"


def test_endless_names_are_shortened_and_stay_apart() -> None:
    names = ["R" + "x" * 60 + end for end in "ab"]
    sheet = Spelling.of(names)
    assert sheet.symbols[names[0]].latex != sheet.symbols[names[1]].latex
    assert all(spelt.width < 16 for spelt in sheet.symbols.values())


@pytest.mark.parametrize("name", ["R1}", r"\input", "R 1", "", "1R", "R1\n", "Ω1"])
def test_what_is_not_a_name_is_a_defect(name: str) -> None:
    with pytest.raises(Defect):
        Spelling.of([name])


def test_an_unknown_symbol_is_a_defect() -> None:
    with pytest.raises(Defect, match="R9"):
        SPELLING.spell(Sym("R9"))

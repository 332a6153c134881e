"""The part list and the table of symbols: every stated value, and where each number comes from."""

from __future__ import annotations

from derive.circuit.parts import KINDS
from derive.document.compose import circuit as section
from tests.document.biased import NETWORK, circuit, part, quantity, text_of


def test_the_part_list_says_all_that_is_stated() -> None:
    """Conditions and tolerances stand with their value, by the symbols that formulas have."""
    fet = part(
        "Q3", "mosfet", "n-channel", {"gate": "g", "drain": "d", "source": "s"},
        yfs=quantity("0.2", "S", quantity("0.1", "A")), vth=quantity("1.2", "V"), ciss=quantity("1e-11", "F"),
        tolerances={"vth": quantity("0.1", "1")}, together=False,
    )  # fmt: skip
    text = text_of(section.parts(circuit(fet), NETWORK))
    assert "hfe_Q1 = 250 (tolerance 50 %); VA_Q1 = 80 V; Vtest_Q1 = 650 mV at Itest_Q1 = 2 mA; rating 300 mW" in text
    assert "Q3 | n-channel MOSFET | gate g, drain d, source s | yfs_Q3 = 200 mS at Itest_Q3 = 100 mA; " in text
    assert "Vth_Q3 = 1.2 V (tolerance 10 %); Ciss_Q3 = 10 pF; tolerances apart" in text
    assert "a0_U1 = 100\u2009000; gbw_U1 = 1 MHz" in text
    assert "1 kΩ; tolerance 5 %" in text


def test_a_beta_is_that_of_the_law_unless_a_current_is_stated() -> None:
    pins = {"base": "b", "collector": "c", "emitter": "e"}
    solved = part("Q7", "bjt", "npn", pins, beta=quantity("100", "1"))
    stated = part("Q7", "bjt", "npn", pins, beta=quantity("100", "1"), ic=quantity("0.001", "A"))
    assert section.stated_symbol(solved, "beta") == "betaF_Q7"
    assert section.stated_symbol(stated, "beta") == "beta_Q7"


def test_every_kind_has_a_word() -> None:
    assert set(section.KIND_WORDS) == set(KINDS)


def test_where_numbers_come_from() -> None:
    text = text_of(section.symbols(circuit(), NETWORK, apart=True))
    assert "VA_Q1 | Early voltage of Q1 | stated | 80 V | VA_Q1" in text
    assert "Ic_Q1 | collector current of Q1 | solved | 9.750 mA | Ic_Q1" in text
    assert "gm_Q1 | transconductance of Q1 | Ic_Q1/VT | 379.4 mS | gm_Q1" in text
    assert "| assumed | 1 | n_D9" in text
    assert "| at 25 °C | 25.69 mV |" in text
    assert "Not in the network: rd_D1 (D1 blocks at this bias point)." in text
    assert "The small-signal network\n" in text
    assert "The small-signal network\n" not in text_of(section.symbols(circuit(), NETWORK, apart=False))

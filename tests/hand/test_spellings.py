"""The spellings of one formula all read to it: those that people type, and those that they typeset."""

from __future__ import annotations

import pytest

from tests.hand.samples import ONE_DEVICE, TWO_DEVICES, read, same, tree

TWO = {
    "gm_Q1*(Rc || rpi_Q1)": [
        "gm_Q1*(Rc || rpi_Q1)",
        "gm_Q1*Rc || rpi_Q1",
        "gm_Q1 (Rc ∥ rpi_Q1)",
        "gm1 * (Rc // rπ1)",
        "gm1·(R_c‖r_π1)",
        "(Rc||rpi1)*gm1",
        "GM_Q1 * [RC || RPI_Q1]",
        r"g_{m1}(R_c \parallel r_{\pi 1})",
        r"g_{m1} \left( R_c \| r_{\pi1} \right)",
        r"g_{m,1}\,\bigl(R_{c} \mathbin{\|} r_{\pi_1}\bigr)",
        r"g_{\mathrm{m1}}\biggl(R_{\mathrm{c}} \parallel r_{\pi 1}\biggr)",
        r"g_{m_{Q1}} \cdot \left[R_C \mathbin{/\mkern-6mu/} r_{\pi Q1}\right]",
        r"$g_{m1}\!\left(R_c \mathbin{||} r_{\pi,1}\right)$",
        r"\[ g_{\text{m1}} \times (R_\text{c} /\!/ r_{\pi1}). \]",
    ],
    "-Rf/Rg": [
        "-Rf/Rg",
        "- Rf / Rg",
        "−R_f ÷ R_g",
        "-rf/rg",
        "−Rf∕Rg",
        r"-\frac{R_f}{R_g}",
        r"-\dfrac{R_f}{R_g}",
        r"-\tfrac{R_{f}}{R_{g}}",
        r"\frac{-R_f}{R_g}",
        r"-R_f/R_g",
        r"$$ -\frac{ R_{\rm f} }{ R_{\rm g} } $$",
        r"-R_f R_g^{-1}",
        "-Rf·Rg⁻¹",
        "-Rf*Rg**(-1)",
        "-Rf Rg^-1",
    ],
    "1 + Rf/Rg": ["1 + Rf/Rg", "1+R_f/R_g", r"1 + \frac{R_f}{R_g}", r"\left(1+\frac{R_f}{R_g}\right)", "(Rg + Rf)/Rg"],
    "1/(1 + s*R1*C1)": [
        "1/(1 + s*R1*C1)",
        "1/(1+sR1C1)",
        "1/(1 + s R1 C1)",
        "1/(1 + jw*R1*C1)",
        "1/(1 + j*w*R1*C1)",
        "1/(1 + jωR₁C₁)",
        "1/(1 + j ω R_1 C_1)",
        "1/(1 + j*2*pi*f*R1*C1)",
        "1/(1 + j 2π f R1 C1)",
        "(1/sC1)/(R1 + 1/sC1)",
        r"\frac{1}{1 + s R_1 C_1}",
        r"\frac{1}{1+sR_1C_1}",
        r"\frac1{1+s\,R_1\,C_1}",
        r"\frac{1}{1 + j\omega R_1C_1}",
        r"\frac{1}{1+\mathrm{j}\omega R_{1} C_{1}}",
        r"\frac{1}{1 + j 2\pi f R_1 C_1}",
        r"\frac{1/(j\omega C_1)}{R_1 + 1/(j\omega C_1)}",
        r"\frac{-j/(\omega C_1)}{R_1 - \frac{j}{\omega C_1}}",
        r"\dfrac{\frac{1}{sC_1}}{R_1+\frac{1}{sC_1}}",
    ],
    "1/(1 + s*R1*C1 + s**2*L1*C1)": [
        "1/(1 + s R1 C1 + s^2 L1 C1)",
        "1/(1 + sR1C1 + s²L1C1)",
        r"\frac{1}{1 + sR_1C_1 + s^2 L_1C_1}",
        r"\frac{1}{1 - \omega^2 L_1 C_1 + j\omega R_1 C_1}",
        r"\frac{1}{1 + j\omega R_1 C_1 + (j\omega)^{2} L_1C_1}",
        "1/(1 - w^2*L1*C1 + j*w*R1*C1)",
    ],
    "sqrt(L1/C1)": ["sqrt(L1/C1)", "√(L1/C1)", r"\sqrt{\frac{L_1}{C_1}}", r"\sqrt{L_1/C_1}", "(L1/C1)^0.5",
                    "(L1/C1)^(1/2)", r"\left(\frac{L_1}{C_1}\right)^{1/2}"],
    "beta_Q1*Rc/(rpi_Q1 + (beta_Q1 + 1)*Re)": [
        "β1 Rc/(rπ1 + (β1 + 1) Re)",
        "hfe1*Rc/(rbe1 + (1 + hfe1)*Re)",
        "beta1*RC/(rpi1 + (beta1+1)*RE)",
        "beta_q1*R_C/(r_pi_1 + (beta_q1 + 1)*R_E)",
        r"\frac{\beta_1 R_c}{r_{\pi1} + (\beta_1 + 1)R_e}",
        r"\beta_1 \cdot \frac{R_c}{r_{\pi1} + (1 + \beta_{Q1}) R_e}",
        r"\frac{h_{fe1} R_C}{r_{be1} + (1+h_{\mathrm{fe}1})R_E}",
    ],
    "(R1 || R2 || R3) + Re": ["R1 || R2 || R3 + Re", "Re + R1//R2//R3", r"R_1 \parallel R_2 \parallel R_3 + R_e",
                              "Re + 1/(1/R1 + 1/R2 + 1/R3)"],
    "1/gm_Q1 || Re*R1/R1": [],
    "(1/gm_Q2) || Re": ["1/gm2 || Re", "Re || 1/gm2", r"R_e \parallel \frac{1}{g_{m2}}", r"1/g_{m2} \parallel R_e",
                        "Re ∥ gm2⁻¹", "(1/gm_Q2) || Re"],
    "R2 || (beta_Q2*Re)": ["R2 || beta2*Re", r"R_2 \parallel \beta_2 R_e", "R2 || (hfe2 Re)"],
    "4700 + 0*R1/R1": ["4.7k", "4700", "4.7e3", r"4\,700", r"4{,}700", r"4.7 \times 10^{3}", r"4.7\cdot10^3"],
    "abs(R1)/Rload": [r"\frac{\lvert R_1 \rvert}{R_{load}}", r"\left|R_1\right| / R_\mathrm{load}", "abs(R1)/R_load",
                      r"\frac{\left|R_1\right|}{R_load}"],
    "log10(R1/R2)": ["log10(R1/R2)", r"\log_{10}\left(\frac{R_1}{R_2}\right)", r"\lg(R_1/R_2)"],
    "gm_J3*R1": ["gm3*R1", "gm_j3 R1", r"g_{m,J3} R_1", "gmJ3·R1", "gfs3 * R1"],
    "s*Cmu_Q2*R1": ["s*Cmu2*R1", "sCmu_Q2R1", "s Cμ2 R1", "s*Cµ2*R1", r"sC_{\mu2}R_1", r"s\, C_{\mu,Q2}\, R_1"],
}  # fmt: skip
TWO.pop("1/gm_Q1 || Re*R1/R1")
ONE = {
    "-gm_Q1*Rc/(1 + gm_Q1*Re)": [
        "-gm Rc/(1 + gm Re)",
        "-gm*Rc/(1 + gm*Re)",
        "-gmRc/(1 + gmRe)",
        r"-\frac{g_m R_c}{1 + g_m R_e}",
        r"-\frac{g_mR_c}{1+g_mR_e}",
        r"\frac{-g_{m} R_{C}}{1+g_{m}R_{E}}",
        r"-\frac{R_c}{R_e + \frac{1}{g_m}}",
        r"-\frac{R_c}{R_e + 1/g_m}",
    ],
    "beta_Q1/gm_Q1": ["β/gm", "hfe/gm", r"\frac{\beta}{g_m}", r"h_{fe}/g_m", r"\beta g_m^{-1}"],
    "rpi_Q1 || ro_Q1": ["rpi || ro", "rπ || ro", r"r_\pi \parallel r_o", r"r_{\pi} \| r_{\mathrm{o}}", "rbe//rce"],
    "s*Cmu_Q1*R1": ["sCmuR1", r"s C_\mu R_1", "s·Cμ·R1", r"j\omega C_{\mu}R_1"],
}
CASES = [(units, meant, text) for units, table in ((TWO_DEVICES, TWO), (ONE_DEVICE, ONE))
         for meant, texts in table.items() for text in texts]  # fmt: skip


@pytest.mark.parametrize(("units", "meant", "text"), CASES, ids=[text for _, _, text in CASES])
def test_a_spelling_reads_to_what_is_meant(units, meant, text) -> None:
    hand = read(text, units)
    assert len(hand.links) == 1
    assert same(hand.links[0].value, tree(meant))


def test_there_are_enough_spellings() -> None:
    assert len(CASES) >= 80


@pytest.mark.parametrize(
    "text", ["gm_Q1*(R1 || R2)", "-R1/R2", "1 + s*R1*C1", "R1/(R2*(R1 + R2))", "R1*R2/R3/Rc", "2*R1 - -R2", "R1**2/R2"]
)
def test_plain_text_gives_the_tree_of_the_plain_grammar(text) -> None:
    assert read(text).links[0].value == tree(text)

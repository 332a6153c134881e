"""Single-transistor stages as the textbooks give them.

Sedra: A. S. Sedra, K. C. Smith, "Microelectronic Circuits", 7th edition. Gray: P. R. Gray, P. J. Hurst,
S. H. Lewis, R. G. Meyer, "Analysis and Design of Analog Integrated Circuits", 5th edition. Razavi: B. Razavi,
"Design of Analog CMOS Integrated Circuits", 1st edition. All from memory.
"""

from __future__ import annotations

import pytest

from tests.reference.book import Published, check

INPUT = 'Vs = { signal = "voltage", between = ["in", "gnd"] }\n'
GAIN = 'gain = { from = "in", to = "out" }'


def bjt(base: str, collector: str, emitter: str, more: str = "") -> str:
    return (
        f'Q1 = {{ bjt = "npn", base = "{base}", collector = "{collector}", emitter = "{emitter}", '
        f'gm = "40 mS", rpi = "5 kΩ"{more} }}\n'
    )


def jfet(gate: str, drain: str, source: str, more: str = "") -> str:
    return (
        f'J1 = {{ jfet = "n-channel", gate = "{gate}", drain = "{drain}", source = "{source}", gm = "4 mS"{more} }}\n'
    )


def resistor(name: str, value: str, first: str, second: str = "gnd") -> str:
    return f'{name} = {{ resistor = "{value}", between = ["{first}", "{second}"] }}\n'


RO = ', ro = "100 kΩ"'
RE, RC = resistor("Re", "1 kΩ", "e"), resistor("Rc", "4.7 kΩ", "out")
FOLLOWER = bjt("b", "gnd", "out", RO) + resistor("Re", "10 kΩ", "out") + resistor("Rs", "1 kΩ", "in", "b")
BASE = bjt("gnd", "out", "in", RO) + RC
DEGENERATED = bjt("in", "out", "e") + RE

STAGES = [
    Published(
        "common emitter with degeneration: gain", "Sedra, section 7.3.4: -alpha Rc/(re + Re)",
        INPUT + DEGENERATED + RC, GAIN, "-beta_Q1*Rc/(rpi_Q1 + (beta_Q1 + 1)*Re)",
        ("beta_Q1 >> 1", "gm_Q1*Re >> 1"), "-Rc/Re",
    ),
    Published(
        "common emitter with degeneration: gain for a large beta", "Gray, section 3.3.8: Gm = gm/(1 + gm RE)",
        INPUT + DEGENERATED + RC, GAIN, "-beta_Q1*Rc/(rpi_Q1 + (beta_Q1 + 1)*Re)",
        ("beta_Q1 >> 1",), "-gm_Q1*Rc/(1 + gm_Q1*Re)",
    ),
    Published(
        "common emitter with degeneration: input resistance", "Sedra, section 7.3.4: (beta + 1)(re + Re)",
        DEGENERATED + RC, 'impedance = { at = "in" }', "rpi_Q1 + (beta_Q1 + 1)*Re",
        ("beta_Q1 >> 1", "gm_Q1*Re >> 1"), "beta_Q1*Re",
    ),
    Published(
        "common emitter with degeneration: output resistance", "Gray, section 3.3.8: ro (1 + gm (rpi || RE))",
        bjt("gnd", "out", "e", RO) + RE, 'impedance = { at = "out" }',
        "ro_Q1 + (1 + gm_Q1*ro_Q1)*(rpi_Q1 || Re)",
        ("gm_Q1*ro_Q1 >> 1",), "ro_Q1*(1 + gm_Q1*(rpi_Q1 || Re))",
    ),
    Published(
        "common base: input resistance", "Gray, section 3.3.3: 1/gm for ro >> RC",
        BASE, 'impedance = { at = "in" }', "rpi_Q1 || ((ro_Q1 + Rc)/(1 + gm_Q1*ro_Q1))",
        ("beta_Q1 >> 1", "gm_Q1*ro_Q1 >> 1", "ro_Q1 >> Rc"), "1/gm_Q1",
    ),
    Published(
        "common base: gain", "Gray, section 3.3.3: gm RC",
        INPUT + BASE, GAIN, "(1 + gm_Q1*ro_Q1)*Rc/(ro_Q1 + Rc)",
        ("gm_Q1*ro_Q1 >> 1", "ro_Q1 >> Rc"), "gm_Q1*Rc",
    ),
    Published(
        "emitter follower: input resistance", "Sedra, section 7.3.6: (beta + 1)(re + (RE || ro))",
        INPUT + FOLLOWER, 'impedance = { at = "b", without = ["Rs"] }', "rpi_Q1 + (beta_Q1 + 1)*(Re || ro_Q1)",
        ("beta_Q1 >> 1", "ro_Q1 >> Re", "gm_Q1*Re >> 1"), "beta_Q1*Re",
    ),
    Published(
        "emitter follower: output resistance", "Sedra, section 7.3.6: re + Rsig/(beta + 1)",
        INPUT + FOLLOWER, 'impedance = { at = "out", without = ["Re"] }',
        "ro_Q1 || ((rpi_Q1 + Rs)/(beta_Q1 + 1))",
        ("ro_Q1 -> inf", "beta_Q1 >> 1"), "1/gm_Q1 + Rs/beta_Q1",
    ),
    Published(
        "emitter follower: gain", "Sedra, section 7.3.6: RL/(RL + re + Rsig/(beta + 1))",
        INPUT + FOLLOWER, GAIN, "(Re || ro_Q1)/((Re || ro_Q1) + (rpi_Q1 + Rs)/(beta_Q1 + 1))",
        ("ro_Q1 -> inf", "beta_Q1 >> 1", "beta_Q1*Re >> Rs", "gm_Q1*Re >> 1"), "1",
    ),
    Published(
        "source follower: gain", "Sedra, section 7.3.6: RL/(RL + 1/gm); Razavi, section 3.3",
        INPUT + jfet("in", "gnd", "out", RO) + resistor("Rk", "2.2 kΩ", "out"), GAIN,
        "gm_J1*(Rk || ro_J1)/(1 + gm_J1*(Rk || ro_J1))",
        ("ro_J1 >> Rk",), "Rk/(Rk + 1/gm_J1)",
    ),
    Published(
        "source follower: output resistance", "Razavi, section 3.3: 1/gm || RS",
        INPUT + jfet("in", "gnd", "out", RO) + resistor("Rk", "2.2 kΩ", "out"), 'impedance = { at = "out" }',
        "(1/gm_J1) || Rk || ro_J1", ("gm_J1*ro_J1 >> 1",), "(1/gm_J1) || Rk",
    ),
    Published(
        "common source with degeneration: gain", "Razavi, section 3.2.4: -gm RD/(1 + gm RS)",
        INPUT + jfet("in", "out", "e") + RE + RC, GAIN, "-gm_J1*Rc/(1 + gm_J1*Re)",
        ("gm_J1*Re >> 1",), "-Rc/Re",
    ),
    Published(
        "common gate: input resistance", "Razavi, section 3.4: (RD + ro)/(1 + gm ro)",
        jfet("gnd", "out", "in", RO) + RC, 'impedance = { at = "in" }', "(Rc + ro_J1)/(1 + gm_J1*ro_J1)",
        ("gm_J1*ro_J1 >> 1",), "Rc/(gm_J1*ro_J1) + 1/gm_J1",
    ),
    Published(
        "Miller effect in a common-emitter stage: input impedance", "Sedra, section 10.3: Cpi + Cmu (1 + gm RL)",
        bjt("in", "out", "gnd", ', cpi = "20 pF", cmu = "2 pF"') + RC, 'impedance = { at = "in" }',
        "1/(1/rpi_Q1 + s*Cpi_Q1 + s*Cmu_Q1*(1 + gm_Q1*Rc)/(1 + s*Cmu_Q1*Rc))",
    ),
    Published(
        "return ratio of a degenerated stage", "Gray, section 8.8: the return ratio with vbe broken, gm (rpi || RE)",
        bjt("gnd", "out", "e") + RE + RC, 'return_ratio = { of = "gm_Q1" }', "gm_Q1*(rpi_Q1 || Re)",
        ("gm_Q1*Re >> 1", "rpi_Q1 >> Re"), "gm_Q1*Re",
    ),
]  # fmt: skip


@pytest.mark.parametrize("published", STAGES, ids=str)
def test_stage(published: Published) -> None:
    check(published)

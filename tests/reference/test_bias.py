"""Bias points against closed forms and worked methods of textbooks.

Sources, all from memory: A. S. Sedra, K. C. Smith, "Microelectronic Circuits" (bias of discrete stages, mirrors, the
differential pair); P. R. Gray et al., "Analysis and Design of Analog Integrated Circuits" (Widlar source, tanh law);
R. M. Corless et al., "On the Lambert W function", Adv. Comput. Math. 5 (1996) (diode and resistor);
S. M. Sze, "Physics of Semiconductor Devices" (the temperature of a junction).
"""

from __future__ import annotations

from fractions import Fraction
from math import exp, log, sqrt, tanh

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.special import lambertw

from derive.constants import thermal_voltage
from tests.bias.circuits import solved

VT = float(thermal_voltage(Fraction("298.15")))
EXACT = 1e-9


@pytest.mark.parametrize(("volts", "ohms", "n"), [(5, 1e3, 1), (0.3, 1e4, 2), (15, 47e3, 1.5), (-5, 1e3, 1)])
def test_diode_and_resistor_is_the_lambert_function(volts: float, ohms: float, n: float) -> None:
    """I = n VT/R · W(Is R/(n VT) · exp((V + Is R)/(n VT))) - Is."""
    saturation = 1e-14
    bias = solved(
        f'V1 = {{ supply = "{volts} V", at = "a" }}\nR1 = {{ resistor = "{ohms}", between = ["a", "k"] }}\n'
        f'D1 = {{ diode = "silicon", anode = "k", cathode = "gnd", is = "10 fA", n = {n} }}',
        "k",
    )
    scale = n * VT
    z = saturation * ohms / scale * exp((volts + saturation * ohms) / scale)
    wanted = scale / ohms * lambertw(z).real - saturation
    assert bias.point.currents["D1"] == pytest.approx(wanted, rel=1e-8, abs=1e-20)


def test_four_resistor_bias() -> None:
    """IE = (VBB - VBE)/(RE + RB/(beta + 1)), with the divider's Thevenin equivalent (Sedra and Smith)."""
    bias = solved(
        """V1 = { supply = "12 V", at = "vcc" }
R1 = { resistor = "80 kΩ", between = ["vcc", "b"] }
R2 = { resistor = "40 kΩ", between = ["b", "gnd"] }
Rc = { resistor = "4 kΩ", between = ["vcc", "c"] }
Re = { resistor = "3.3 kΩ", between = ["e", "gnd"] }
Q1 = { bjt = "npn", base = "b", collector = "c", emitter = "e", beta = 100, is = "5 fA" }""",
        "c",
    )
    found = bias.point.devices["Q1"]
    wanted = (4 - found.voltages["Vbe"]) / (3300 + 80e3 / 3 / 101)
    assert -found.currents["emitter"] == pytest.approx(wanted, rel=EXACT)
    assert found.voltages["Vbe"] == pytest.approx(VT * log(found.currents["collector"] / 5e-15 + 1), rel=EXACT)
    assert bias.estimate is not None
    # By hand with a drop of 0.65 V; the base current is counted, for it loads this divider by a twelfth.
    assert bias.estimate.currents["Q1"] == pytest.approx((4 - 0.65) / (3300 + 80e3 / 3 / 101), rel=0.01)


@pytest.mark.parametrize(("variety", "sign"), [("n-channel", 1), ("p-channel", -1)])
@pytest.mark.parametrize("ohms", [100, 470, 2200, 10e3])
def test_self_biased_junction_fet(variety: str, sign: int, ohms: float) -> None:
    """Id = Idss (1 - Id Rs/|Vp|)²: the smaller root of a quadratic (Sedra and Smith)."""
    bias = solved(
        f"""V1 = {{ supply = "{sign * 24} V", at = "v" }}
Rg = {{ resistor = "1 MΩ", between = ["g", "gnd"] }}
Rs = {{ resistor = "{ohms}", between = ["s", "gnd"] }}
Q1 = {{ jfet = "{variety}", gate = "g", drain = "v", source = "s", idss = "8 mA", vp = "{-sign * 3} V" }}""",
        "s",
    )
    a, b = 8e-3 * (ohms / 3) ** 2, 2 * 8e-3 * ohms / 3 + 1
    wanted = (b - sqrt(b * b - 4 * a * 8e-3)) / (2 * a)
    assert bias.point.currents["Q1"] == pytest.approx(sign * wanted, rel=EXACT)
    assert bias.point.devices["Q1"].slopes["gm"] == pytest.approx(2 * sqrt(8e-3 * wanted) / 3, rel=EXACT)


@pytest.mark.parametrize("beta", [20, 100, 500])
def test_current_mirror(beta: int) -> None:
    """Iout/Iin = 1/(1 + 2/beta) with equal collector voltages and no Early effect (Gray et al.)."""
    bias = solved(
        f"""I1 = {{ signal = "current", between = ["in", "gnd"], offset = "1 mA" }}
Q1 = {{ bjt = "npn", base = "in", collector = "in", emitter = "gnd", beta = {beta} }}
Q2 = {{ bjt = "npn", base = "in", collector = "v", emitter = "gnd", beta = {beta} }}
V1 = {{ supply = "5 V", at = "v" }}""",
        "in",
    )
    assert bias.point.currents["Q2"] == pytest.approx(1e-3 / (1 + 2 / beta), rel=1e-9)


def test_widlar_source() -> None:
    """VT ln(Iref/Iout) = Iout R (1 + 1/beta): an implicit equation, solved here by Brent's method (Gray et al.)."""
    bias = solved(
        """I1 = { signal = "current", between = ["in", "gnd"], offset = "1 mA" }
Q1 = { bjt = "npn", base = "in", collector = "in", emitter = "gnd", beta = 200 }
Q2 = { bjt = "npn", base = "in", collector = "v", emitter = "e", beta = 200 }
Re = { resistor = "5 kΩ", between = ["e", "gnd"] }
V1 = { supply = "10 V", at = "v" }""",
        "in",
    )
    reference = bias.point.currents["Q1"]
    wanted = brentq(lambda i: VT * log(reference / i) - i * 5e3 * (1 + 1 / 200), 1e-9, 1e-3, xtol=1e-18)
    assert bias.point.currents["Q2"] == pytest.approx(wanted, rel=1e-8)


@pytest.mark.parametrize("millivolts", [-100, -26, -5, 0, 3, 40, 150])
def test_differential_pair(millivolts: float) -> None:
    """Ic1 - Ic2 = alpha Iee tanh(Vd/(2 VT)) (Gray et al.)."""
    bias = solved(
        f"""Vd = {{ signal = "voltage", between = ["b1", "gnd"], offset = "{millivolts} mV" }}
I1 = {{ signal = "current", between = ["gnd", "e"], offset = "2 mA" }}
Q1 = {{ bjt = "npn", base = "b1", collector = "v", emitter = "e", beta = 150 }}
Q2 = {{ bjt = "npn", base = "gnd", collector = "v", emitter = "e", beta = 150 }}
V1 = {{ supply = "10 V", at = "v" }}""",
        "e",
    )
    difference = bias.point.currents["Q1"] - bias.point.currents["Q2"]
    assert difference == pytest.approx(150 / 151 * 2e-3 * tanh(millivolts * 1e-3 / (2 * VT)), rel=1e-9, abs=1e-13)


def test_vbe_multiplier() -> None:
    """V = Vbe (1 + R1/R2) + Ib R1 (Sedra and Smith, on output stages)."""
    bias = solved(
        """I1 = { signal = "current", between = ["top", "gnd"], offset = "2 mA" }
R1 = { resistor = "2.2 kΩ", between = ["top", "b"] }
R2 = { resistor = "1 kΩ", between = ["b", "gnd"] }
Q1 = { bjt = "npn", base = "b", collector = "top", emitter = "gnd", beta = 120 }""",
        "top",
    )
    found = bias.point.devices["Q1"]
    wanted = found.voltages["Vbe"] * 3.2 + found.currents["base"] * 2200
    assert bias.point.nodes["top"] == pytest.approx(wanted, rel=EXACT)


def test_mosfet_with_source_resistor() -> None:
    """Id = k/2 (Vg - Id Rs - Vth)², the root below the other (Sedra and Smith); gm = sqrt(2 k Id)."""
    bias = solved(
        """V1 = { supply = "12 V", at = "v" }
Vg = { supply = "4 V", at = "g" }
Rs = { resistor = "1 kΩ", between = ["s", "gnd"] }
Q1 = { mosfet = "n-channel", gate = "g", drain = "v", source = "s", k = "2 mA/V²", vth = "1.2 V" }""",
        "s",
    )
    roots = np.roots([1e3**2, -(2 * 2.8 * 1e3 + 2 / 2e-3), 2.8**2])
    assert bias.point.currents["Q1"] == pytest.approx(min(roots), rel=EXACT)
    assert bias.point.devices["Q1"].slopes["gm"] == pytest.approx(sqrt(2 * 2e-3 * min(roots)), rel=EXACT)


def test_bandgap_drop_at_constant_current() -> None:
    """dVbe/dT = (Vbe - Eg/q - 3 VT)/T, near -2 mV/K for silicon at common currents (Sze; common practice)."""
    bias = solved(
        """I1 = { signal = "current", between = ["a", "gnd"], offset = "1 mA" }
D1 = { diode = "silicon", anode = "a", cathode = "gnd" }
Q1 = { bjt = "npn", base = "b", collector = "b", emitter = "gnd", beta = 200 }
I2 = { signal = "current", between = ["b", "gnd"], offset = "100 µA" }""",
        "a",
        about='temperature = ["0 °C", "25 °C", "50 °C"]',
    )
    for warmed, name in zip(bias.warmed, ("D1", "Q1"), strict=True):
        assert warmed.part == name
        volts = warmed.voltages[1]
        assert warmed.drift == pytest.approx((volts - 1.12 - 3 * VT) / 298.15, rel=1e-3)
        assert -2.3e-3 < warmed.drift < -1.6e-3
        # At constant current the solved points themselves fall so.
        slope = (warmed.voltages[-1] - warmed.voltages[0]) / 50
        assert slope == pytest.approx(warmed.drift, rel=0.02)


def test_closed_loop_of_a_finite_op_amp() -> None:
    """Vout = a Vin/(1 + a R1/(R1 + R2)) (Sedra and Smith)."""
    bias = solved(
        """Vin = { signal = "voltage", between = ["in", "gnd"], offset = "0.5 V" }
R1 = { resistor = "1 kΩ", between = ["m", "gnd"] }
R2 = { resistor = "9 kΩ", between = ["m", "o"] }
U1 = { opamp = "finite", plus = "in", minus = "m", out = "o", gain = 2000 }""",
        "o",
    )
    assert bias.point.nodes["o"] == pytest.approx(2000 * 0.5 / (1 + 200), rel=1e-12)

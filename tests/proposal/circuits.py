"""Circuits for proposed statements, with invented values.

Enters: nothing. Leaves: descriptions. Must not know: what is proposed for them.
"""

from __future__ import annotations

from pathlib import Path

WORKED = Path(__file__).parents[2] / "worked"
LIGHTHOUSE = """
Vs  = { signal = "voltage", between = ["src", "gnd"] }
Rs  = { resistor = "47 kΩ", between = ["src", "in"] }
Cin = { capacitor = "1 µF", between = ["in", "gate"] }
Rg  = { resistor = "4.7 MΩ", between = ["gate", "tap"] }
Rt  = { resistor = "150 kΩ", between = ["tap", "gnd"] }
Ct  = { capacitor = "22 µF", between = ["out", "tap"] }
Q1  = { jfet = "n-channel", gate = "gate", drain = "d", source = "s", gm = "3.1 mS", ro = "82 kΩ", cgs = "5 pF", cgd = "2.2 pF" }
Rd  = { resistor = "1.2 kΩ", between = ["d", "vcc"] }
Q2  = { bjt = "pnp", base = "d", emitter = "e2", collector = "c2", gm = "58 mS", beta = 180, ro = "33 kΩ", cpi = "40 pF", cmu = "4 pF" }
Re2 = { resistor = "100 Ω", between = ["vcc", "e2"] }
Q3  = { bjt = "npn", base = "b3", emitter = "vee", collector = "c2", gm = "57 mS", beta = 150, ro = "41 kΩ", cpi = "35 pF", cmu = "3 pF" }
R3  = { resistor = "10 kΩ", between = ["b3", "vee"] }
Rf  = { resistor = "3.3 kΩ", between = ["out", "s"] }
Rk  = { resistor = "2.2 kΩ", between = ["s", "vee"] }
Q4  = { bjt = "npn", base = "c2", emitter = "out", collector = "vcc", gm = "190 mS", beta = 120, ro = "11 kΩ", cpi = "120 pF", cmu = "6 pF" }
Ro  = { resistor = "1 kΩ", between = ["out", "vee"] }
Cl  = { capacitor = "1 nF", between = ["out", "gnd"] }
Vcc = { supply = "15 V", at = "vcc" }
Vee = { supply = "-15 V", at = "vee" }
"""  # noqa: E501 (one line a part)
"""Four transistors: a JFET with a common-emitter stage, a current source and a follower, feedback by Rf and Rk."""


def hydrophone(accuracy: str, *, stated: bool = False) -> str:
    """The worked hydrophone buffer with an accuracy, without its author's statements unless ``stated``."""
    text = (WORKED / "harbour_hydrophone.toml").read_text("utf-8")
    text = text.replace('spot = "1 kHz"', f'spot = "1 kHz"\naccuracy = "{accuracy}"', 1)
    return text if stated else text[: text.index("[[assume]]")]

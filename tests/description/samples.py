"""Descriptions to test with: invented circuits that no one has built."""

from __future__ import annotations

DIVIDER = """\
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "2 kΩ", between = ["out", "gnd"] }

[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""

BUFFER = """\
[about]
title = "Harbour hydrophone buffer (invented)"
revision = 3
date = 2025-03-01
temperature = "30 °C"
band = ["10 Hz", "50 kHz"]
spot = 2000

[parts]
Vs  = { signal = "voltage", between = ["src", "gnd"], offset = "0 V" }
Rs  = { resistor = "100 kΩ", between = ["src", "in"], tolerance = "1 %" }
Cin = { capacitor = "100 nF", between = ["in", "gate"] }
Rg  = { resistor = "1M5", between = ["gate", "boot"] }
Rb  = { resistor = "100k", between = ["boot", "gnd"] }
Cb  = { capacitor = "10 µF", between = ["Q2.collector", "boot"] }
Q1  = { jfet = "n-channel", gate = "gate", drain = "d", source = "out", id = "1 mA", \
idss = "6 mA", vp = "-2 V", lambda = "0.01 1/V", cgs = "4 pF", cgd = "2 pF" }
Rd  = { resistor = 680, between = ["vcc", "d"] }
Q2  = { bjt = "pnp", base = "d", emitter = "vcc", collector = "out", beta = 200, va = "60 V", ic = "3 mA" }
Re  = { resistor = "2k2", between = ["out", "gnd"], mains = true }
U1  = { opamp = "ideal", plus = "out", minus = "U1.out" }
Rl  = { resistor = "10 kΩ", between = ["U1.out", "x"] }
L1  = { inductor = "1 mH", between = ["x", "gnd"] }
Link1 = { transconductance = "2 mS", from = ["x", "gnd"], sense = ["U1.out", "gnd"] }
D1  = { diode = "silicon", anode = "x", cathode = "gnd", rd = "25 Ω" }
Vcc = { supply = "12 V", at = "vcc" }

[[question]]
name = "A"
gain = { from = "src", to = "Q1.source" }
[[question]]
name = "Zin"
impedance = { at = "gate", without = ["Rs"] }
[[question]]
name = "Zd"
impedance = { between = ["d", "vcc"] }
[[question]]
name = "T"
return_ratio = { of = "gm_Q2" }
[[question]]
name = "boot"
bootstrap = { part = "Rg", near = "gate" }

[[assume]]
that = "gm_Q2*Re >> 1"
because = "it drives the load"
for = ["Zin"]
name = "stiff"
[[assume]]
that = "ro_Q2 -> inf"
[[assume]]
ideal_bootstrap = "Rg"
[[assume]]
short = ["Cb", "Cin"]
[[assume]]
open = "D1"
"""

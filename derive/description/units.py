"""The units of a description, their spellings, SI prefixes and letter codes.

Enters: nothing. Leaves: tables. Must not know: anything else.

Letter codes are those of IEC 60062, Marking codes for resistors and capacitors (from memory). Both code
points of µ and of Ω are read.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

PREFIXES: Mapping[str, int] = {
    "": 0,
    "a": -18,
    "f": -15,
    "p": -12,
    "n": -9,
    "u": -6,
    "µ": -6,
    "μ": -6,
    "m": -3,
    "k": 3,
    "M": 6,
    "G": 9,
    "T": 12,
}
_OHM = ("Ω", "\u2126", "ohm", "ohms", "Ohm")

# Unit in SI, what it measures, the spellings that take a prefix, an example.
SPELLINGS: Mapping[str, tuple[str, tuple[str, ...], str]] = {
    "Ω": ("ohms", _OHM, "4.7 kΩ"),
    "F": ("farads", ("F",), "10 nF"),
    "H": ("henries", ("H",), "1 mH"),
    "V": ("volts", ("V",), "12 V"),
    "A": ("amperes", ("A",), "2 mA"),
    "S": ("siemens", ("S",), "5 mS"),
    "W": ("watts", ("W",), "0.25 W"),
    "Hz": ("hertz", ("Hz",), "1 kHz"),
    "1/V": ("1/V", (), "0.01 1/V"),
    "A/V²": ("A/V²", ("A/V²", "A/V^2", "A/V2"), "2 mA/V²"),
    "V/√Hz": ("V/√Hz", ("V/√Hz", "V/rtHz", "V/sqrt(Hz)"), "5 nV/√Hz"),
    "A/√Hz": ("A/√Hz", ("A/√Hz", "A/rtHz", "A/sqrt(Hz)"), "1 pA/√Hz"),
    "K": ("degrees", ("K",), "25 °C"),
    "1": ("a pure number", (), "200"),
}
FIXED: Mapping[str, Mapping[str, Fraction]] = {
    "1/V": {
        **{text: Fraction(1) for text in ("1/V", "/V", "V^-1", "V⁻¹")},
        "1/kV": Fraction(1, 1000),
        "1/mV": Fraction(1000),
        "%/V": Fraction(1, 100),
    },
    "1": {"%": Fraction(1, 100), "1": Fraction(1)},
}
_RESISTOR_LETTERS = {"R": 0, "k": 3, "K": 3, "M": 6, "G": 9, "T": 12}
_CAPACITOR_LETTERS = {"p": -12, "n": -9, "u": -6, "µ": -6, "μ": -6, "m": -3, "F": 0}
LETTERS: Mapping[str, Mapping[str, int]] = {"Ω": _RESISTOR_LETTERS, "F": _CAPACITOR_LETTERS}

# What to write in place of a zero.
OPTIONAL = "write its value, or leave it out where it is optional"
_WIRE = "for a wire, give both its ends one node name; leave it out where it is optional"
ZERO: Mapping[str, str] = {"Ω": _WIRE, "H": _WIRE, "F": "leave it out"}

"""What a person at the bench takes for granted when he estimates a bias point.

Enters: nothing. Leaves: constants and the notes that say where they come from. Must not know: circuits.

All of it is common practice, without a source, and is printed as such.
"""

from __future__ import annotations

from fractions import Fraction

DROPS = {
    "silicon": Fraction("0.65"),
    "germanium": Fraction("0.25"),
    "schottky": Fraction("0.3"),
    "led": Fraction("1.8"),
    "zener": Fraction("0.65"),
}
"""Forward drop of a conducting diode by its variety, in volts (a zener's is that of its forward direction)."""
JUNCTION = DROPS["silicon"]
"""Base to emitter of a conducting bipolar transistor, in volts."""
SATURATION = Fraction("0.2")
"""Collector to emitter of a saturated bipolar transistor, in volts."""
DECADE = Fraction("0.06")
"""By how much a junction's voltage rises when its current rises tenfold, in volts (near room temperature)."""
BALANCE = 0.03
"""Bases of a pair that differ by less than this many volts share the current; else the lower one is off."""
ENOUGH = 0.1
"""A junction that was taken as off and comes out with this many volts more than its drop would conduct."""
BASE_DROP = 0.2
"""A base current that drops more than this many volts across the resistors of its base is not neglected."""

JUNCTION_NOTE = "0.65 V across a conducting silicon junction: common practice, no source"
DIODE_NOTES = {
    "silicon": JUNCTION_NOTE,
    "zener": JUNCTION_NOTE,
    "germanium": "0.25 V across a conducting germanium diode: common practice, no source",
    "schottky": "0.3 V across a conducting Schottky diode: common practice, no source",
    "led": "1.8 V across a conducting LED: common practice, no source",
}
SATURATION_NOTE = "0.2 V from collector to emitter when saturated: common practice, no source"
EMITTER_NOTE = "collector current taken as emitter current: common practice, no source"
DECADE_NOTE = "60 mV for a tenfold current: common practice, no source"
BASE_NOTE = "a base current that drops less than 0.2 V before its base is neglected: common practice, no source"
PAIR_NOTE = "devices of one law at equal base voltage carry equal currents: common practice, no source"

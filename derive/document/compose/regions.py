"""The regions of devices in words, and what follows where one is not active.

Enters: a device at the bias point. Leaves: words. Must not know: LaTeX, networks.
"""

from __future__ import annotations

from collections.abc import Callable

from derive.bias.records import DevicePoint, Region
from derive.circuit.parts import is_stated
from derive.circuit.records import Part
from derive.expression.tree import Sym, product
from derive.words import Formula, Node, Reading, Words

REGIONS: dict[Region, str] = {
    "active": "active", "saturated": "saturated", "reversed": "reversed", "ohmic": "ohmic", "off": "off",
    "conducting": "conducting", "blocking": "blocking",
}  # fmt: skip
ALL_THE_SAME = " The sheet has the small-signal values of an active device at the stated current all the same."
SLOPES_THERE = "The small-signal values are the true slopes there, and what rests on an active device fails"


def remark(found: DevicePoint, part: Part) -> Words:
    """What is said of a device below the table; () for one that is active or conducts."""
    gate = (*_gate_words(found, part), *_breakdown_words(found, part))
    told = _REMARKS.get((found.region, found.kind == "bjt")) or _REMARKS.get((found.region, None))
    if told is None:
        return (*gate, *_inner_words(found, part))
    what, follows = told(found)
    return (*what, *((ALL_THE_SAME,) if is_stated(part) else follows), *((" ", *gate) if gate else ()))


FORWARD = 0.5
"""Volts at which the gate junction of a junction FET begins to conduct; common practice, no source."""


def forward_gate(found: DevicePoint, part: Part) -> float | None:
    """By how many volts the gate junction of a junction FET is driven forward; None where it is not."""
    if found.kind != "jfet":
        return None
    sign = 1 if part.variety == "n-channel" else -1
    gate = sign * max(sign * found.voltages["Vgs"], sign * (found.voltages["Vgs"] - found.voltages["Vds"]))
    return gate if sign * gate > FORWARD else None


def _gate_words(found: DevicePoint, part: Part) -> Words:
    volts = forward_gate(found, part)
    if volts is None:
        return ()
    return (
        "The gate junction of ", Node(found.part), " is driven forward by ", Reading(abs(volts), "V", 3), ": it would "
        "conduct, and the square law, which has no gate current, does not hold there.",
    )  # fmt: skip


BREAKS = 5.0
"""Volts at which base–emitter junctions begin to break down; common practice, no source."""


def _breakdown_words(found: DevicePoint, part: Part) -> Words:
    if found.kind != "bjt":
        return ()
    reverse = -found.voltages["Vbe"] * (1 if part.variety == "npn" else -1)
    if reverse <= BREAKS:
        return ()
    return (
        "The base–emitter junction of ", Node(found.part), " is reversed by ", Reading(reverse, "V", 3), ": most break "
        "down from about 5 V (common practice, no source), which its law does not know.",
    )  # fmt: skip


def _inner_words(found: DevicePoint, part: Part) -> Words:
    """That a base resistance stands between the pin and the junction."""
    resistance = part.values.get("rb")
    if found.kind != "bjt" or resistance is None:
        return ()
    drop = float(resistance.value) * abs(found.currents["base"])
    return (
        "The voltages of ", Node(found.part), " are those of its inner base; its base resistance drops ",
        Reading(drop, "V", 3), " besides.",
    )  # fmt: skip


Told = tuple[Words, Words]
"""What is the case, and what follows for the sheet where the device is solved."""


def _saturated(found: DevicePoint) -> Told:
    return (
        Node(found.part), " is saturated: its collector junction conducts as well as its base junction, with ",
        Reading(abs(found.voltages["Vce"]), "V", 3), " from collector to emitter, so its collector current follows the "
        "circuit and not the base.",
    ), (f" {SLOPES_THERE}: a gain of ", Formula(product(Sym("gm"), Sym("R"))), " is out of reach.")  # fmt: skip


def _reversed_bipolar(found: DevicePoint) -> Told:
    return (
        Node(found.part), " is reversed: its collector junction conducts in place of its emitter junction, so "
        "collector and emitter have changed places, with the small current gain of that direction.",
    ), (" Check its pins and its polarity.",)  # fmt: skip


def _reversed_channel(found: DevicePoint) -> Told:
    return (
        Node(found.part), " is reversed: the current flows through its channel the other way, so drain and source have "
        "changed places.",
    ), (" The small-signal values are those of the channel seen that way round.",)  # fmt: skip


def _ohmic(found: DevicePoint) -> Told:
    return (
        Node(found.part), " is ohmic: with ", Reading(abs(found.voltages["Vds"]), "V", 3), " from drain to source its "
        "channel is open along its whole length and acts as a resistance.",
    ), (f" {SLOPES_THERE}: its output resistance is low.",)  # fmt: skip


def _off(found: DevicePoint) -> Told:
    words = " The small-signal values are the true slopes of what leaks; those that vanish are left out of the network."
    return (Node(found.part), " is off."), (words,)


def _blocking(found: DevicePoint) -> Told:
    words = " Its slope resistance is that of its leakage; where that vanishes it is left out of the network."
    return (Node(found.part), " blocks, with ", Reading(found.voltages["V"], "V", 3), " across it."), (words,)


_REMARKS: dict[tuple[Region, bool | None], Callable[[DevicePoint], Told]] = {
    ("saturated", True): _saturated,
    ("reversed", True): _reversed_bipolar,
    ("reversed", False): _reversed_channel,
    ("ohmic", False): _ohmic,
    ("off", None): _off,
    ("blocking", None): _blocking,
}

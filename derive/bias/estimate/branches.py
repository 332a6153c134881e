"""The d.c. circuit as an estimate sees it: which part carries which current from where to where.

Enters: parts, how they are taken, which node stands for each. Leaves: branches and levels.
Must not know: numbers of the estimate, steps.

A branch carries a current from its first node to its second: a resistor's follows from its voltages, any other
is written as an expression. A level is a fixed difference between two nodes: v(upper) = v(lower) + rise.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from derive.bias.estimate.practice import DROPS, JUNCTION, SATURATION
from derive.bias.estimate.records import Assumed
from derive.circuit.records import GROUND, Part
from derive.expression.tree import ZERO, Expr, Num, Quotient, Sym

FETS = ("jfet", "mosfet")


@dataclass(frozen=True)
class Branch:
    """``current``: of a device or a source; for a transconductance its symbol, to be multiplied by what it senses.

    ``idle_from``: the node behind which nothing takes current, so that this resistor carries none.
    """

    part: str
    first: str
    second: str
    resistance: Sym | None = None
    current: Expr = ZERO
    idle_from: str = ""
    sense: tuple[str, str] | None = None

    def other(self, node: str) -> str:
        return self.second if node == self.first else self.first

    def current_flows(self, node: str) -> bool:
        """Whether the sum of currents at a node needs it; an idle one speaks only at its idle end."""
        return self.idle_from in ("", node)


@dataclass(frozen=True)
class Level:
    """``kind``: junction, saturated, source (a supply or a signal), inputs (of an op amp)."""

    kind: str
    part: str
    upper: str
    lower: str
    rise: Expr


def polarity(part: Part) -> int:
    """One for npn and n-channel, minus one for pnp and p-channel."""
    return -1 if part.variety in ("pnp", "p-channel") else 1


def current_symbol(part: Part) -> Sym:
    """The current of a device, positive in its forward direction: Ic_Q1, Id_Q1, I_D1."""
    letter = "Ic" if part.kind == "bjt" else "Id" if part.kind in FETS else "I"
    return Sym(f"{letter}_{part.name}")


def branches_of(part: Part, node: Callable[[str], str], assumed: Assumed) -> list[Branch]:
    """The branches of one part, none for one that carries no direct current."""
    pins = {pin: node(name) for pin, name in part.pins.items()}
    if part.kind == "resistor":
        found = [Branch(part.name, pins["first"], pins["second"], Sym(part.name))]
    elif part.kind == "bjt":
        found = _bipolar(part, pins, assumed)
    elif part.kind in FETS:
        found = [Branch(part.name, pins["drain"], pins["source"], None, current_symbol(part))]
    elif part.kind == "diode":
        found = [Branch(part.name, pins["anode"], pins["cathode"], None, current_symbol(part))]
    elif part.kind == "opamp":
        found = [Branch(part.name, GROUND, pins["out"], None, current_symbol(part))]
    elif part.kind == "supply":
        found = [Branch(part.name, pins["second"], pins["first"], None, current_symbol(part))]
    elif part.kind == "signal":
        found = [_signal(part, pins)]
    elif part.kind == "transconductance":
        sense = (pins["sense_first"], pins["sense_second"])
        found = [Branch(part.name, pins["first"], pins["second"], None, Sym(part.name), "", sense)]
    else:
        return []
    if assumed.mode(part.name) == "off":
        return []
    if part.kind in FETS and polarity(part) < 0:
        found = [_turned(branch) for branch in found]
    return [branch for branch in found if branch.first != branch.second]


def _turned(branch: Branch) -> Branch:
    return replace(branch, first=branch.second, second=branch.first)


def _signal(part: Part, pins: dict[str, str]) -> Branch:
    """A signal voltage carries whatever flows; a signal current enters the first node."""
    if part.variety == "voltage":
        return Branch(part.name, pins["first"], pins["second"], None, current_symbol(part))
    flows = "offset" in part.values and part.values["offset"].value != 0
    return Branch(part.name, pins["second"], pins["first"], None, Sym(part.name) if flows else ZERO)


def _bipolar(part: Part, pins: dict[str, str], assumed: Assumed) -> list[Branch]:
    """The collector current, and the base current where it is not neglected, both towards the emitter."""
    collector = current_symbol(part)
    found = [Branch(part.name, pins["collector"], pins["emitter"], None, collector)]
    if assumed.mode(part.name) in ("saturated", "refuted"):
        found.append(Branch(part.name, pins["base"], pins["emitter"], None, Sym(f"Ib_{part.name}")))
    elif part.name in assumed.counted:
        base = Quotient(collector, Sym(f"betaF_{part.name}"))
        found.append(Branch(part.name, pins["base"], pins["emitter"], None, base))
    return found if polarity(part) > 0 else [_turned(branch) for branch in found]


def drop_of(part: Part) -> Fraction:
    """The forward drop of a junction in volts: as its data sheet has it where the author says so, else by habit."""
    stated = part.values.get("vbe" if part.kind == "bjt" else "vf")
    if stated is not None:
        return stated.value
    return JUNCTION if part.kind == "bjt" else DROPS[part.variety]


def levels_of(part: Part, node: Callable[[str], str], assumed: Assumed) -> list[Level]:
    """The fixed differences of voltage that one part sets."""
    pins = {pin: node(name) for pin, name in part.pins.items()}
    mode = assumed.mode(part.name)
    if part.kind == "supply":
        return [Level("source", part.name, pins["first"], pins["second"], Sym(part.name))]
    if part.kind == "signal" and part.variety == "voltage":
        return [Level("source", part.name, pins["first"], pins["second"], _offset(part))]
    if mode == "refuted":
        return []
    if part.kind == "opamp":
        return [Level("inputs", part.name, pins["plus"], pins["minus"], ZERO)]
    if part.kind == "diode" and mode != "off":
        return [Level("junction", part.name, pins["anode"], pins["cathode"], Num(drop_of(part)))]
    if part.kind != "bjt" or mode == "off":
        return []
    found = [_over_emitter("junction", part, pins["base"], pins["emitter"], Num(drop_of(part)))]
    if mode == "saturated":
        found.append(_over_emitter("saturated", part, pins["collector"], pins["emitter"], Num(SATURATION)))
    return found


def _over_emitter(kind: str, part: Part, pin: str, emitter: str, rise: Num) -> Level:
    upper, lower = (pin, emitter) if polarity(part) > 0 else (emitter, pin)
    return Level(kind, part.name, upper, lower, rise)


def _offset(part: Part) -> Expr:
    return Num(part.values["offset"].value) if "offset" in part.values else ZERO

"""The sections that show the circuit: its parts as described, every symbol with its number.

Enters: the circuit and its network. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.circuit.parts import DIODE_WORDS, is_stated
from derive.circuit.records import Circuit, Part, Quantity
from derive.document.compose.phrases import joined, owned, unbroken
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.expression.tree import Sym
from derive.network.records import Network, Symbol
from derive.words import Code, Formula, Inline, Node, Reading, Words

KELVIN = Fraction("273.15")
KIND_WORDS = {
    "resistor": "resistor", "capacitor": "capacitor", "inductor": "inductor", "diode": "diode",
    "bjt": "bipolar transistor", "jfet": "junction FET", "mosfet": "MOSFET", "opamp": "op amp",
    "transconductance": "transconductance", "supply": "supply", "signal": "signal",
}  # fmt: skip
DEVICES = ("bjt", "jfet", "mosfet", "diode", "opamp")
"""Kinds whose stated values have symbols of their own."""
PIN_WORDS = {"first": "", "second": "", "sense_first": "senses ", "sense_second": ""}


def parts(circuit: Circuit, network: Network) -> list[Block]:
    """The part list."""
    return [
        Heading(1, ("The circuit",)),
        Paragraph(("As described; ", Node("gnd"), " is ground.", *_rails(network))),
        _parts(circuit),
    ]


def symbols(circuit: Circuit, network: Network, *, apart: bool) -> list[Block]:
    """The table of symbols; ``apart``: under a heading of its own, since the bias point stands between."""
    heading: list[Block] = [Heading(1, ("The small-signal network",))] if apart else []
    around = " around the bias point" if apart else ""
    # A part with one value is in the table of parts already.
    shown = [s for s in network.symbols.values() if s.name != s.owner or s.formula is not None]
    more = " besides the parts' own values, which bear their names" if len(shown) < len(network.symbols) else ""
    words = (
        f"The small-signal network{around} has these symbols{more}. Numbers are computed from exact "
        "decimals and printed rounded; the last column is how a symbol is written in the description."
    )
    if not shown:
        words = f"The symbols of the small-signal network{around} are the parts' own values, which bear their names."
    table = [_symbols(circuit, shown)] if shown else []
    found: list[Block] = [*heading, Paragraph((words,)), *table]
    if network.missing:
        told = "; ".join(dict.fromkeys(network.missing.values()))
        names = joined([(Formula(Sym(name)),) for name in network.missing])
        found.append(Paragraph(("Not in the network: ", *names, f" ({told}).")))
    return found


def _rails(network: Network) -> Words:
    rails = list(network.alias)
    if not rails:
        return ()
    words: list[Inline] = [" Supplies have no signal across them, so "]
    for place, rail in enumerate(rails):
        words += [", " if place else "", Node(rail)]
    words += [" count" if len(rails) > 1 else " counts", " as ground for signals."]
    return tuple(words)


def _parts(circuit: Circuit) -> Table:
    columns = (
        Column(("Part",)),
        Column(("Kind",), width=0.24),
        Column(("Connections",), width=0.36),
        Column(("Stated",), width=0.26),
    )
    rows = tuple((_name(part), _kind(part), _pins(part), _stated(part)) for part in circuit.parts.values())
    return Table(columns, rows)


def _name(part: Part) -> Words:
    return (Node(part.name),)


def _kind(part: Part) -> Words:
    word = KIND_WORDS[part.kind]
    if part.kind == "signal":
        return (f"signal {part.variety}",)
    if part.kind == "diode":
        return (DIODE_WORDS[part.variety],)
    if part.kind in DEVICES and part.variety:
        return (f"{part.variety} {word}",)
    return (word,)


def _pins(part: Part) -> Words:
    words: list[Inline] = []
    for place, (pin, node) in enumerate(part.pins.items()):
        words.append("" if not place else " to " if pin in ("second", "sense_second") else ", ")
        words += [PIN_WORDS.get(pin, f"{pin} "), Node(node)]
    return tuple(words)


def _stated(part: Part) -> Words:
    words: list[Inline] = []
    for key, quantity in part.values.items():
        words.append("; " if words else "")
        if key in ("tolerance", "offset", "rating"):
            words.append(f"{key} ")
        elif part.kind in DEVICES:
            words += [Formula(Sym(stated_symbol(part, key))), " = "]
        words.append(_value(key, quantity))
        if quantity.at is not None:
            # Only the current at which a law was measured is a symbol of its own.
            test: list[Inline] = [Formula(Sym(f"Itest_{part.name}")), " = "] if key in ("vbe", "vf", "yfs") else []
            words += [" at ", *test, _value("at", quantity.at)]
        if key in part.tolerances:
            words += [" (tolerance ", _value("tolerance", part.tolerances[key]), ")"]
    if part.tolerances and not part.together:
        words.append("; tolerances apart")
    return tuple(words) or ("–",)


def _value(key: str, quantity: Quantity) -> Reading:
    if key == "tolerance":
        return Reading(float(100 * quantity.value), "%", 6, "stated")
    return Reading(float(quantity.value), quantity.unit, 6, "stated")


STATED = {"ic": "Ic", "id": "Id", "idss": "Idss", "vp": "Vp", "va": "VA", "is": "Is", "vbe": "Vtest", "vf": "Vtest",
          "ft": "fT", "vth": "Vth", "cpi": "Cpi", "cmu": "Cmu", "cob": "Cob", "cgs": "Cgs", "cgd": "Cgd",
          "ciss": "Ciss", "crss": "Crss", "cj": "Cj", "gain": "a0"}  # fmt: skip
"""Symbols of stated values whose key is spelt otherwise."""


def stated_symbol(part: Part, key: str) -> str:
    """The symbol of a device's stated value: ``Ic_Q2`` for ``ic``; ``beta`` of a solved device is that of its law."""
    if key == "beta" and not is_stated(part):
        return f"betaF_{part.name}"
    return f"{STATED.get(key, key)}_{part.name}"


def _symbols(circuit: Circuit, shown: list[Symbol]) -> Table:
    columns = (
        Column(("Symbol",)),
        Column(("Meaning",), width=0.32),
        Column(("Formula",), width=0.30),
        Column(("Number",), "right"),
        Column(("Written",)),
    )
    rows = tuple(_symbol(symbol, circuit.about.temperature) for symbol in shown)
    return Table(columns, rows)


def _symbol(symbol: Symbol, temperature: Fraction) -> tuple[Words, ...]:
    formula: Words = (symbol.origin,) if symbol.formula is None else (Formula(symbol.formula),)
    number = Reading(float(symbol.value), symbol.unit)
    if symbol.name == "VT":
        formula = ("at ", Reading(float(temperature - KELVIN), "°C", 6, "stated"))
    elif symbol.formula is None and symbol.origin in ("stated", "assumed"):
        number = Reading(float(symbol.value), symbol.unit, 6, "stated")
    meaning = symbol.meaning if symbol.owner in ("", symbol.name) else owned(symbol.meaning, symbol.owner)
    return (
        (Formula(Sym(symbol.name)),),
        (unbroken(meaning),),
        formula,
        (number,),
        (Code(symbol.name),),
    )

"""The sections that show the circuit: its parts as described, every symbol with its number.

Enters: the circuit and its network. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.circuit.records import Circuit, Part
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.expression.tree import Sym
from derive.network.records import Network, Symbol
from derive.words import Code, Formula, Inline, Node, Reading, Words

KELVIN = Fraction("273.15")
KIND_WORDS = {
    "resistor": "resistor", "capacitor": "capacitor", "inductor": "inductor", "diode": "diode",
    "bjt": "bipolar transistor", "jfet": "junction FET", "opamp": "op amp", "transconductance": "transconductance",
    "supply": "supply", "signal": "signal",
}  # fmt: skip
PIN_WORDS = {"first": "", "second": "", "sense_first": "senses ", "sense_second": ""}


def blocks(circuit: Circuit, network: Network) -> list[Block]:
    """The part list and the table of symbols."""
    found: list[Block] = [
        Heading(1, ("The circuit",)),
        Paragraph(("As described; ", Node("gnd"), " is ground.", *_rails(network))),
        _parts(circuit),
        Paragraph(
            (
                "The small-signal network around the bias point has these symbols. Numbers are computed from exact "
                "decimals and printed rounded; the last column is how a symbol is written in the description.",
            )
        ),
        _symbols(circuit, network),
    ]
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
    if part.kind in ("bjt", "opamp", "jfet", "diode") and part.variety:
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
        if part.kind in ("bjt", "jfet", "diode"):
            words += [Formula(Sym(stated_symbol(part, key))), " = "]
        elif key in ("tolerance", "offset"):
            words.append(f"{key} ")
        if key == "tolerance":
            words.append(Reading(float(100 * quantity.value), "%", 6, "stated"))
        else:
            words.append(Reading(float(quantity.value), quantity.unit, 6, "stated"))
    return tuple(words) or ("–",)


STATED = {"ic": "Ic", "id": "Id", "idss": "Idss", "vp": "Vp", "va": "VA", "cpi": "Cpi", "cmu": "Cmu", "cgs": "Cgs",
          "cgd": "Cgd", "cj": "Cj"}  # fmt: skip
"""Symbols of stated values whose key is spelt otherwise."""


def stated_symbol(part: Part, key: str) -> str:
    """The symbol of a device's stated value: ``Ic_Q2`` for ``ic``."""
    return f"{STATED.get(key, key)}_{part.name}"


def _symbols(circuit: Circuit, network: Network) -> Table:
    columns = (
        Column(("Symbol",)),
        Column(("Meaning",), width=0.40),
        Column(("Formula",), width=0.20),
        Column(("Number",), "right"),
        Column(("Written",)),
    )
    rows = tuple(_symbol(symbol, circuit.about.temperature) for symbol in network.symbols.values())
    return Table(columns, rows)


def _symbol(symbol: Symbol, temperature: Fraction) -> tuple[Words, ...]:
    formula: Words = ("stated",) if symbol.formula is None else (Formula(symbol.formula),)
    number = Reading(float(symbol.value), symbol.unit)
    if symbol.name == "VT":
        formula = ("at ", Reading(float(temperature - KELVIN), "°C", 6, "stated"))
    elif symbol.formula is None:
        number = Reading(float(symbol.value), symbol.unit, 6, "stated")
    meaning = symbol.meaning + (f" of {symbol.owner}" if symbol.owner and symbol.owner != symbol.name else "")
    return (
        (Formula(Sym(symbol.name)),),
        (meaning,),
        formula,
        (number,),
        (Code(symbol.name),),
    )

"""The parameters of the devices' laws that no other table of the sheet has.

Enters: the bias point, the circuit, its network. Leaves: blocks. Must not know: LaTeX.

What the author states stands in the part list, what the network uses in its table of symbols; this table has the
rest: what was taken because the description is silent, what was converted from entries of a data sheet.
"""

from __future__ import annotations

from fractions import Fraction

from derive.bias.records import Bias, Parameter
from derive.circuit.records import Circuit, Part
from derive.document.compose.phrases import owned, unbroken
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.expression.tree import Sym
from derive.network.records import Network
from derive.words import Code, Formula, Inline, Reading, Words


def blocks(bias: Bias, circuit: Circuit, network: Network) -> list[Block]:
    """The table, and which parameters are assumed."""
    shown = [
        parameter
        for parameter in bias.parameters
        if parameter.name not in network.symbols and not _is_told(parameter, circuit.parts[parameter.owner])
    ]
    if not shown:
        return []
    columns = (
        Column(("Symbol",)),
        Column(("Meaning",), width=0.30),
        Column(("Formula",), width=0.33),
        Column(("Number",), "right"),
        Column(("Written",)),
    )
    words: list[Inline] = ["The laws have these parameters besides those stated and those of the table of symbols."]
    if any(parameter.origin == "assumed" for parameter in shown):
        words.append(" What is assumed, is assumed because the description is silent: state it if it matters.")
    heading = Heading(2, ("Parameters of the laws",))
    return [heading, Paragraph(tuple(words)), Table(columns, tuple(_row(parameter) for parameter in shown))]


def _is_told(parameter: Parameter, part: Part) -> bool:
    """Whether the part list has this very number."""
    return parameter.origin == "stated" and parameter.value in _numbers(part)


def _numbers(part: Part) -> set[Fraction]:
    values = list(part.values.values())
    return {q.value for q in values} | {q.at.value for q in values if q.at is not None}


def _row(parameter: Parameter) -> tuple[Words, ...]:
    formula: Words = (parameter.origin,)
    number = Reading(float(parameter.value), parameter.unit)
    if parameter.formula is not None:
        formula = (Formula(parameter.formula),)
    elif parameter.value == Fraction(f"{float(parameter.value):.6g}"):
        number = Reading(float(parameter.value), parameter.unit, 6, "stated")
    else:
        formula = (f"from the {parameter.origin} one",)
    assumed = ", from what is assumed" if parameter.origin == "assumed" and parameter.formula is not None else ""
    meaning = unbroken(owned(parameter.meaning, parameter.owner) + assumed)
    return ((Formula(Sym(parameter.name)),), (meaning,), formula, (number,), (Code(parameter.name),))

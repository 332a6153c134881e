"""The parameters of the devices' laws that no other table of the sheet has.

Enters: the bias point, the circuit, its network. Leaves: blocks. Must not know: LaTeX.

What the author states stands in the part list, what the network uses in its table of symbols; this table has the
rest: what was taken because the description is silent, what was converted from entries of a data sheet.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.bias.records import Bias, Parameter
from derive.circuit.records import Circuit, Part
from derive.document.compose.phrases import joined, owned, unbroken
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.expression.tree import ONE, Call, Expr, Product, Quotient, Sym, negate, total
from derive.network.records import Network
from derive.words import Code, Formula, Inline, Node, Reading, Words


def blocks(bias: Bias, circuit: Circuit, network: Network) -> list[Block]:
    """The table, and which parameters are assumed."""
    shown = [
        parameter
        for parameter in bias.parameters
        if parameter.name not in network.symbols and not _is_told(parameter, circuit.parts[parameter.owner])
    ]
    silent = _silent(shown, bias)
    told = {f"{key}_{name}" for names, _ in silent for name in names for key in ("Vtest", "Itest", "Is", "n")}
    shown = [parameter for parameter in shown if parameter.name not in told]
    sentences = [Paragraph(_assumed(names, found)) for names, found in silent]
    if not shown:
        return [Heading(2, ("Parameters of the laws",)), *sentences] if sentences else []
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
    table = Table(columns, tuple(_row(parameter) for parameter in shown))
    return [heading, *sentences, Paragraph(tuple(words)), table]


def _silent(shown: Sequence[Parameter], bias: Bias) -> list[tuple[tuple[str, ...], dict[str, Parameter]]]:
    """Devices of whose junction the description says nothing, by what was assumed: those alike in one group."""
    groups: dict[tuple[Fraction, ...], tuple[list[str], dict[str, Parameter]]] = {}
    for owner in dict.fromkeys(p.owner for p in shown if p.name.startswith("Vtest_") and p.origin == "assumed"):
        found = {p.name.partition("_")[0]: p for p in bias.parameters if p.owner == owner}
        if found.get("n") is not None and found["n"].origin != "assumed":
            continue
        key = tuple(found[k].value for k in ("Vtest", "Itest", "Is", "n") if k in found)
        groups.setdefault(key, ([], found))[0].append(owner)
    return [(tuple(names), found) for names, found in groups.values()]


def _assumed(names: tuple[str, ...], found: dict[str, Parameter]) -> Words:
    """What was taken for junctions that nothing is stated of, in one sentence."""
    volts, amperes, saturation = (float(found[key].value) for key in ("Vtest", "Itest", "Is"))
    exponent: Expr = Quotient(Sym("V"), Sym("VT"))
    emission: Words = ()
    if "n" in found and found["n"].value != 1:
        exponent = Quotient(Sym("V"), Product((Sym("n"), Sym("VT"))))
        emission = (" with ", Formula(Sym("n")), " = ", Reading(float(found["n"].value), "1", 6, "stated"))
    who = joined([(Node(name),) for name in names])
    formula = Quotient(Sym("I"), total(Call("exp", exponent), negate(ONE)))
    at_25 = found["Is"].formula is not None
    return (
        *who,
        " state no saturation current" if len(names) > 1 else " states no saturation current",
        ": a junction that drops ",
        Reading(volts, "V", 6, "stated"),
        " at ",
        Reading(amperes, "A", 6, "stated"),
        *emission,
        " is assumed (common practice, no source), which is ",
        Formula(Sym("Is")),
        *((" = ", Formula(formula)) if at_25 else ()),
        " = ",
        Reading(saturation, "A"),
        *(() if at_25 else (" at the sheet's temperature",)),
        ". State it if it matters.",
    )


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

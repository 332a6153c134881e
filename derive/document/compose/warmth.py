"""The bias point over temperature, and the law by which saturation currents move.

Enters: the bias point, the circuit. Leaves: blocks. Must not know: LaTeX.

The law and the gaps are those of derive.bias.saturation; a test compares the two.
"""

from __future__ import annotations

from derive.bias.records import Bias, Warmed
from derive.bias.saturation import GAPS, REFERENCE, SILICON
from derive.circuit.records import Circuit
from derive.document.compose.phrases import NOTHING, change, joined
from derive.document.compose.points import CURRENT, carries
from derive.document.records import Block, Column, Heading, Paragraph, Table
from derive.expression.tree import ONE, Call, Expr, Power, Product, Quotient, Sym, negate, total
from derive.words import Formula, Reading, Words

ICE = 273.15
"""K at 0 °C."""


def growth(power: int) -> Expr:
    """Is(Tj)/Is(T0) = (Tj/T0)^power exp((Eg/kB)(1/T0 - 1/Tj)), over the symbols Tj, T0, Eg and kB."""
    warm, cold = Sym("Tj"), Sym("T0")
    inverse = total(Quotient(ONE, cold), negate(Quotient(ONE, warm)))
    exponent = Product((Quotient(Sym("Eg"), Sym("kB")), inverse))
    return Product((Power(Quotient(warm, cold), power), Call("exp", exponent)))


def blocks(bias: Bias, circuit: Circuit) -> list[Block]:
    """The part of the section; nothing where one temperature of 25 °C is asked."""
    moved = circuit.about.temperature != REFERENCE or bool(bias.warmed)
    law = _law(circuit) if moved else None
    found: list[Block] = [Paragraph(law)] if law else []
    told = tuple(warmed for warmed in bias.warmed if carries(warmed.currents, bias.point))
    if told:
        found += [Paragraph(_explained(told)), _table(told, circuit)]
    return [Heading(2, ("Temperature",)), *found] if found else []


def _law(circuit: Circuit) -> Words | None:
    """The law of the saturation current, with the gap of each kind of junction here."""
    junctions = [part for part in circuit.parts.values() if part.kind in ("bjt", "diode")]
    if not junctions:
        return None
    kinds = sorted({part.variety if part.variety in GAPS else "silicon" for part in junctions})
    power = 2 if kinds == ["schottky"] else 3
    gaps = joined([(Reading(GAPS.get(kind, SILICON)[0], "eV", 6, "stated"), f" ({kind})") for kind in kinds])
    words: Words = (
        "The saturation current of a junction at ", Formula(Sym("Tj")), " is that at ", Formula(Sym("T0")), " = ",
        Reading(float(REFERENCE) - ICE, "°C", 6, "stated"), " times ", Formula(growth(power)), ", with ",
        Formula(Sym("Eg")), " = ", *gaps,
    )  # fmt: skip
    if power == 3 and "schottky" in kinds:
        words = (*words, "; of a Schottky diode the square of the ratio in place of its cube")
    if any("n" in part.values or part.variety == "led" for part in junctions if part.kind == "diode"):
        count = Formula(Sym("n"))
        words = (*words, "; for an emission coefficient ", count, " the ", count, "th root of it")
    return (*words, " (S. M. Sze, Physics of Semiconductor Devices; from memory).")


def _explained(warmed: tuple[Warmed, ...]) -> Words:
    words: Words = (
        "Each current with the circuit solved anew at each temperature, in degrees Celsius; change from the coldest to "
        "the warmest. Only ", Formula(Sym("VT")), " and the saturation currents move; current gains, FETs and "
        "resistances are held.",
    )  # fmt: skip
    if any(found.drift is not None for found in warmed):
        words = (*words, " The drift is that of a junction's voltage at constant current, at the sheet's temperature.")
    return words


def _table(warmed: tuple[Warmed, ...], circuit: Circuit) -> Table:
    columns = (
        Column(("Current",)),
        *(Column((Reading(kelvin - ICE, "°C", 4, "stated"),), "right") for kelvin in warmed[0].temperatures),
        Column(("Change",), "right"),
        Column(("Drift",), "right"),
    )
    return Table(columns, tuple(_row(found, circuit) for found in warmed))


def _row(found: Warmed, circuit: Circuit) -> tuple[Words, ...]:
    sizes = [abs(current) for current in found.currents]
    return (
        (Formula(Sym(f"{CURRENT[circuit.parts[found.part].kind]}_{found.part}")),),
        *((Reading(size, "A"),) for size in sizes),
        change(sizes[-1], sizes[0]),
        NOTHING if found.drift is None else (Reading(found.drift, "V/K", 3),),
    )

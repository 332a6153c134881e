"""Cautions, the method, and what the sheet does not cover.

Enters: the analysis, what the second opinion said. Leaves: blocks. Must not know: LaTeX.

The limits are the normal dry limits of IEC 61010-1 (60 V d.c.; from memory, as are 35 V d.c. where wet).
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, log10

from derive.circuit.records import GROUND, Circuit
from derive.derivation.analysis import Analysis
from derive.document.records import Block, Heading, Notice, Paragraph
from derive.expression.tree import Num, Power
from derive.words import Formula, Reading, Strong, Words

DRY_DC = Fraction(60)
CAUTION = (
    " Before touching: switch off, isolate from the mains, let stored charge drain through a suitable resistor and "
    "measure that it has gone; keep insulation and one hand free of the circuit. Local electrical codes and a "
    "qualified person's judgement go before anything on this sheet."
)


def cautions(circuit: Circuit) -> list[Block]:
    """A caution where two nodes can differ by more than 60 V d.c., or a part is on the mains."""
    span = largest_voltage(circuit)
    found: list[Block] = []
    if span > DRY_DC:
        words: Words = (
            "Nodes of this circuit can differ by ", Reading(float(span), "V", 3), " d.c., above the 60 V that ",
            "IEC 61010-1 takes as not hazardous to touch when dry (35 V when wet).", CAUTION,
        )  # fmt: skip
        found.append(Notice("caution", words))
    elif any(part.mains for part in circuit.parts.values()):
        found.append(Notice("caution", ("Parts of this circuit are connected to the mains.", CAUTION)))
    return found


def largest_voltage(circuit: Circuit) -> Fraction:
    """The largest difference that the supplies alone set between two nodes, in volts."""
    level: dict[str, Fraction] = {GROUND: Fraction(0)}
    supplies = [part for part in circuit.parts.values() if part.kind == "supply"]
    spans = [abs(part.values["voltage"].value) for part in supplies]
    for _ in supplies:
        for part in supplies:
            first, second, value = part.pins["first"], part.pins["second"], part.values["voltage"].value
            if second in level:
                level.setdefault(first, level[second] + value)
            elif first in level:
                level.setdefault(second, level[first] - value)
    return max(*spans, max(level.values()) - min(level.values())) if spans else Fraction(0)


def method(analysis: Analysis, opinion: Words) -> list[Block]:
    """How the numbers came about and where they end."""
    fets = any(part.kind == "jfet" for part in analysis.circuit.parts.values())
    return [
        Heading(1, ("Method and limits",)),
        Paragraph(
            (
                Strong("Method. "),
                "Each exact answer is a ratio of two determinants formed from the nodal matrix, each the sum over the ",
                "element sets that are spanning trees of both the current and the voltage graph. Every equality on ",
                "this sheet was evaluated on both sides at three random exact points before it was printed; every ≈ ",
                "carries the error that was measured over the band. ",
                *opinion,
                " A plain nodal solution in floating point differs from each answer by less than one part in ",
                Formula(Power(Num(Fraction(10)), -_decade(analysis.numeric_difference))),
                ".",
            )
        ),
        Paragraph(
            (
                Strong("Limits. "),
                "This is small-signal algebra around one bias point. Ratings, safe operating area, large signals, ",
                "noise and temperature are outside it. Currents and small-signal values are as stated or follow from ",
                "what is stated by the formulas in the table of symbols.",
                " The gate current of the junction FETs is neglected." if fets else "",
            )
        ),
    ]


def _decade(difference: float) -> int:
    """The power of ten above a difference; at most 1e-12, the rounding of such a solution."""
    return max(-12, ceil(log10(difference))) if difference > 0 else -12

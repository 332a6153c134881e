"""Cautions, the method, and what the sheet does not cover.

Enters: the analysis, what the second opinion said. Leaves: blocks. Must not know: LaTeX.

The limits are the normal dry limits of IEC 61010-1 (60 V d.c.; from memory, as are 35 V d.c. where wet).
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, log10

from derive.bias.records import Bias, Unsolved
from derive.circuit.records import GROUND, Circuit, Noise
from derive.derivation.analysis import Analysis
from derive.document.records import Block, Heading, Notice, Paragraph
from derive.expression.tree import Num, Power
from derive.words import Formula, Reading, Strong, Words

DRY_DC = 60
CAUTION = (
    " Before touching: switch off, isolate from the mains, let stored charge drain through a suitable resistor and "
    "measure that it has gone; keep insulation and one hand free of the circuit. Local electrical codes and a "
    "qualified person's judgement go before anything on this sheet."
)


def cautions(circuit: Circuit, bias: Bias | Unsolved | None = None) -> list[Block]:
    """A caution where two nodes can differ by more than 60 V d.c., or a part is on the mains."""
    span = max(float(largest_voltage(circuit)), largest_difference(bias) if isinstance(bias, Bias) else 0.0)
    found: list[Block] = []
    if span > DRY_DC:
        words: Words = (
            "Nodes of this circuit can differ by ", Reading(span, "V", 3), " d.c., above the 60 V that ",
            "IEC 61010-1 takes as not hazardous to touch when dry (35 V when wet).", CAUTION,
        )  # fmt: skip
        found.append(Notice("caution", words))
    elif any(part.mains for part in circuit.parts.values()):
        found.append(Notice("caution", ("Parts of this circuit are connected to the mains.", CAUTION)))
    return found


def largest_difference(bias: Bias) -> float:
    """The largest difference between two nodes at any operating point, in volts."""
    held = [[volts for volts in point.nodes.values() if volts is not None] for point in bias.points]
    return max((max(volts) - min(volts) for volts in held if volts), default=0.0)


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
    return [
        Heading(1, ("Method and limits",)),
        Paragraph(
            (
                Strong("Method. "),
                "Each exact answer is a ratio of two determinants formed from the nodal matrix, each the sum over the ",
                "element sets that are spanning trees of both the current and the voltage graph. Every equality of ",
                "the derivations was evaluated on both sides at three random exact points before it was printed, and ",
                "every ≈ in them carries the error that was measured over the band. ",
                *opinion,
                " A plain nodal solution in floating point differs from each answer by less than one part in ",
                Formula(Power(Num(Fraction(10)), -_decade(analysis.numeric_difference))),
                ".",
            )
        ),
        Paragraph((Strong("Limits. "), " ".join(_limits(analysis)))),
    ]


def _limits(analysis: Analysis) -> list[str]:
    """What the sheet does not cover, sentence by sentence."""
    kinds = {part.kind for part in analysis.circuit.parts.values()}
    words = ["This is small-signal algebra around one bias point."]
    if isinstance(analysis.bias, Bias):
        words += [
            "Power is compared with ratings at the bias point only; breakdown, leakage, self-heating, safe operating "
            f"area and {_besides(analysis)} are outside it.",
            "Small-signal values follow from the bias point by the formulas in the table of symbols, or from what is "
            "stated where the author states a current or the values themselves.",
        ]
        if analysis.bias.warmed:
            words.append(
                "The bias point moves with temperature as its section says; the answers are of one temperature."
            )
    else:
        words += [
            f"Ratings, breakdown, self-heating, safe operating area, temperature and {_besides(analysis)} are outside "
            f"it.",
            "Currents and small-signal values are as stated or follow from what is stated by the formulas in the table "
            "of symbols.",
        ]
    gates = [name for kind, name in (("jfet", "junction FETs"), ("mosfet", "MOSFETs")) if kind in kinds]
    if gates:
        words.append(f"The gate currents of {' and '.join(gates)} are neglected.")
    if "opamp" in kinds:
        words.append("Op amps have no limits of output voltage or current, and no offsets.")
    return words


def _besides(analysis: Analysis) -> str:
    """What of signals is outside the sheet; noise only where no section tells it."""
    noisy = any(isinstance(study.study.ask, Noise) for study in analysis.studies)
    return "large signals" if noisy else "large signals and noise"


def _decade(difference: float) -> int:
    """The power of ten above a difference; at most 1e-12, the rounding of such a solution."""
    return max(-12, ceil(log10(difference))) if difference > 0 else -12

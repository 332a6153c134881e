"""The section on the bias point: how it was found and how well, then what it is, what it rests on, how far it moves.

Enters: the analysis. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from fractions import Fraction
from math import floor, log10

from derive.bias.records import Bias, Unsolved
from derive.derivation.analysis import Analysis
from derive.document.compose import devices, estimate, laws, levels, points, powers, spread, warmth
from derive.document.compose.phrases import several
from derive.document.records import Block, Heading, Paragraph
from derive.expression.tree import Num, Power
from derive.words import Formula, Reading, Words

FINEST = 1e-15
FEMTOVOLT = Reading(FINEST, "V", 6, "stated")
"""Differences of voltages below this are not told more exactly."""


def blocks(analysis: Analysis) -> list[Block]:
    """The section; nothing where the circuit has neither devices nor supplies."""
    bias, circuit = analysis.bias, analysis.circuit
    if bias is None:
        return []
    heading = Heading(1, ("Bias point",), "bias")
    if isinstance(bias, Unsolved):
        return [heading, Paragraph(_unsolved(bias))]
    return [
        heading,
        Paragraph(_found(bias)),
        *points.contradicted(bias),
        *devices.blocks(bias.point, circuit, analysis.network),
        *levels.blocks(bias.point, circuit),
        *points.blocks(bias, circuit),
        *powers.blocks(bias.point, circuit),
        *laws.blocks(bias, circuit, analysis.network),
        *estimate.blocks(bias, circuit),
        *spread.blocks(bias, circuit),
        *warmth.blocks(bias, circuit),
    ]


def notices(analysis: Analysis) -> list[Block]:
    """What the first page has to say of the bias point: ratings passed first."""
    bias, circuit = analysis.bias, analysis.circuit
    if not isinstance(bias, Bias):
        return []
    return [
        *powers.cautions(bias.point, circuit),
        *points.notices(bias),
        *levels.notices(bias.point, circuit),
        *devices.notices(bias.point, circuit),
    ]


def _unsolved(bias: Unsolved) -> Words:
    words = f"No bias point is given: {bias.what}."
    if not bias.needed:
        words += " None is needed for the answers, since every device states its current or its slopes."
    return (f"{words} To have one: {bias.remedy}.",)


def _found(bias: Bias) -> Words:
    """How the point was found, and its certificate."""
    point = bias.point
    words: Words = (
        "Found from the laws of the devices with capacitors open and inductors short, signals at their offset or "
        f"zero, by {bias.road}. ",
    )
    if point.scale:
        words = (
            *words, "At no node do the currents miss their balance by more than one part in ",
            Formula(Power(Num(Fraction(10)), _certified(point.residual / point.scale))), " of the ",
            Reading(point.scale, "A"), " out of all sources, summed with thirty digits. ",
        )  # fmt: skip
    if not bias.starts:
        return words
    where = "the same point" if len(bias.points) == 1 else "one of the points listed below"
    if not bias.point.devices:
        return (*words, "The equations are linear, so there is no other point.")
    words = (*words, f"Of {several(bias.starts, 'further start')}, each with devices on and off by chance, ")
    if not bias.met:
        return (*words, "none arrived anywhere.")
    apart: Words = ("at most ", Reading(bias.apart, "V", 2)) if bias.apart >= FINEST else ("less than ", FEMTOVOLT)
    rest = "; the others gave no answer" if bias.met < bias.starts else ""
    return (*words, f"{bias.met} arrived, at {where}, apart by ", *apart, f"{rest}.", *_lacking(bias))


MOST_DIGITS = 20
"""Thirty digits are carried; what is left of them after the sums is claimed to twenty."""


def _certified(part: float) -> int:
    """The power of ten that bounds what is left over, at most MOST_DIGITS."""
    return MOST_DIGITS if part <= 0 else max(0, min(MOST_DIGITS, floor(-log10(part))))


def _lacking(bias: Bias) -> Words:
    if not bias.lacking:
        return ()
    return (" The signs of the determinants at the points show that there are more of them, which no start found.",)

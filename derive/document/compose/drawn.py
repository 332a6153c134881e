"""The drawn circuit, with the direct voltages of its bias point.

Enters: the analysis, the drawing. Leaves: blocks. Must not know: LaTeX, how a drawing is found.
"""

from __future__ import annotations

from derive.bias.records import Bias
from derive.derivation.analysis import Analysis
from derive.document.records import Block, Paragraph, Picture
from derive.drawing.records import Drawing, Marks, Voltage
from derive.numbers import plain
from derive.words import Words

DIGITS = 3


def figure(analysis: Analysis, drawing: Drawing | str | None) -> list[Block]:
    """The picture; in words why there is none; nothing where none is wanted."""
    if drawing is None:
        return []
    if isinstance(drawing, str):
        return [Paragraph((f"The circuit is not drawn: {drawing}.",))]
    marks = Marks(voltages(analysis, drawing))
    title: Words = ("The circuit, with its direct voltages" if marks.voltages else "The circuit",)
    return [Picture("circuit", title, drawing, marks, _caption(marks))]


def voltages(analysis: Analysis, drawing: Drawing) -> tuple[Voltage, ...]:
    """The direct voltage of each node; a rail's is its name."""
    if not isinstance(analysis.bias, Bias):
        return ()
    rails = {terminal.node for terminal in drawing.terminals}
    known = analysis.bias.point.nodes
    drawn = dict.fromkeys(node for placed in drawing.parts for _, node in placed.part.pins if node not in rails)
    found = ((node, known.get(node)) for node in drawn)
    return tuple(Voltage(node, plain(complex(volts), "V", DIGITS)) for node, volts in found if volts is not None)


def _caption(marks: Marks) -> Words:
    if not marks.voltages:
        return ("Symbols after IEC 60617; a dot marks a junction.",)
    return ("Symbols after IEC 60617; a dot marks a junction. Numbers at the wires: voltages of the bias point.",)

"""The drawn circuit, with the direct voltages of its bias point.

Enters: the analysis, the drawing. Leaves: blocks. Must not know: LaTeX, how a drawing is found.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from derive.bias.records import Bias
from derive.derivation.analysis import Analysis
from derive.document.records import Block, Heading, Overlay, Paragraph, Picture
from derive.drawing.records import Drawing, Marks, Voltage
from derive.drawing.scan import Scanned
from derive.expression.tree import Name
from derive.numbers import plain
from derive.words import Formula, Words

DIGITS = 3
STEPS: Words = ("Approximations, one by one",)
"""The heading under which the limits of an answer act."""


def figure(analysis: Analysis, drawing: Drawing | str | None) -> list[Block]:
    """The picture; in words why there is none; nothing where none is wanted."""
    if drawing is None:
        return []
    if isinstance(drawing, str):
        return [Paragraph((f"The circuit is not drawn: {drawing}.",))]
    marks = Marks(voltages(analysis, drawing))
    title: Words = ("The circuit, with its direct voltages" if marks.voltages else "The circuit",)
    return [Picture("circuit", title, drawing, marks, _caption(marks))]


def equivalent(small: Mapping[str, Drawing]) -> list[Block]:
    """The small-signal network drawn; nothing where it is not."""
    if "" not in small:
        return []
    caption = "Rails are ground. A diamond is a controlled source: its name times the voltage beside it."
    return [Picture("equivalent", ("The small-signal circuit",), small[""], Marks(), (caption,))]


def with_reduced(name: str, blocks: list[Block], small: Mapping[str, Drawing]) -> list[Block]:
    """The section of an answer with the circuit that its limits leave, where its approximations begin."""
    if name not in small:
        return blocks
    title: Words = ("What the limits leave of the circuit for ", Formula(Name(name)))
    caption = "The statements that open, short or remove something are taken; stated ratios still act on the algebra."
    picture = Picture(f"reduced-{name}", title, small[name], Marks(), (caption,))
    place = next((n for n, block in enumerate(blocks) if isinstance(block, Heading) and block.words == STEPS), None)
    return blocks if place is None else [*blocks[: place + 1], picture, *blocks[place + 1 :]]


def photograph(analysis: Analysis) -> list[Block]:
    """The author's own picture with the same marks; nothing where there is none."""
    scan = analysis.circuit.scan
    if scan is None:
        return []
    pins = tuple(
        ((part.name, pin), node) for part in analysis.circuit.parts.values() for pin, node in part.pins.items()
    )
    shown = Scanned(scan.image, scan.format, scan.size, scan.nodes, scan.parts, pins, scan.ink)
    marks = Marks(_voltages(analysis, (node for node, _ in scan.nodes)))
    caption: Words = ("Numbers beside the nodes: voltages of the bias point.",) if marks.voltages else ()
    return [Overlay("scan", ("The author's own picture",), shown, marks, caption)]


def voltages(analysis: Analysis, drawing: Drawing) -> tuple[Voltage, ...]:
    """The direct voltage of each node; a rail's is its name."""
    rails = {terminal.node for terminal in drawing.terminals}
    nodes = (node for placed in drawing.parts for _, node in placed.part.pins if node not in rails)
    return _voltages(analysis, nodes)


def _voltages(analysis: Analysis, nodes: Iterable[str]) -> tuple[Voltage, ...]:
    if not isinstance(analysis.bias, Bias):
        return ()
    known = analysis.bias.point.nodes
    found = ((node, known.get(node)) for node in dict.fromkeys(nodes))
    return tuple(Voltage(node, plain(complex(volts), "V", DIGITS)) for node, volts in found if volts is not None)


def _caption(marks: Marks) -> Words:
    if not marks.voltages:
        return ("Symbols after IEC 60617; a dot marks a junction.",)
    return ("Symbols after IEC 60617; a dot marks a junction. Numbers at the wires: voltages of the bias point.",)

"""How much voltage each device takes at its input, as a table.

Enters: error voltages. Leaves: blocks. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.document.records import Block, Column, Heading, Ledger, Paragraph, Row, Table
from derive.explain.error_voltage import ErrorVoltage
from derive.words import Node, Reading, Words


def error_blocks(found: tuple[ErrorVoltage, ...], unit: str) -> list[Block]:
    """``unit`` of the gain: per volt of the signal, or per ampere for a transimpedance."""
    if not found:
        return []
    per = "ampere" if unit == "Ω" else "volt"
    columns = (
        Column(("Device",)),
        Column(("Between",)),
        Column((f"For each {per}",), "right"),
    )
    rows = tuple(
        (
            (Node(one.part),),
            _between(one),
            (Reading(one.ratio.spot, "V", style="magnitude"),),
        )
        for one in found
    )
    words: Words = (f"The voltage at the input of each device for each {per} of the signal:",)
    made: list[Block] = [Heading(2, ("Error voltages",)), Paragraph(words), Table(columns, rows)]
    steps = [step for one in found if one.ratio.tree is not None for step in one.ratio.steps]
    if steps:
        made.append(Ledger(tuple(Row(s.rule, s.lines, s.number, s.note, s.kind) for s in steps)))
    return made


def _between(one: ErrorVoltage) -> Words:
    if one.pins is not None:
        return (f"{one.pins[0]} and {one.pins[1]}",)
    return (Node(one.between[0]), " and ", Node(one.between[1]))

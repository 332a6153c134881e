"""How much of a page a heading needs below its top, so that it never stands alone.

Enters: the blocks of a document, and the heights of the first rows of its ledgers. Leaves: lines of text.
Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping

from derive.document.records import (
    Block,
    Comparison,
    Family,
    Heading,
    Histograms,
    Ledger,
    LoopPlot,
    Notice,
    Overlaid,
    Overlay,
    Paragraph,
    Picture,
    Plot,
    PolarPlot,
    Table,
)

LEAST = {1: 13.0, 2: 7.0}
"""Lines that a section and a subsection need in any case."""
HEADING = {1: 4.0, 2: 3.0}
PLOT, TABLE, NOTICE = 22.0, 8.0, 4.0
MOST = 32.0
"""More than this is not asked for, half a page."""
GENEROUS = 1.5
"""Lines for the space between blocks."""


def room(blocks: tuple[Block, ...], place: int, openings: Mapping[int, float], lines: Mapping[int, float]) -> int:
    """Lines from the top of the heading at ``place`` to the end of what must not be parted from it.

    ``openings``: for each ledger, by its place, the height of the rows at its beginning that stay together;
    ``lines``: for each paragraph and each picture its number of lines.
    """
    heading = blocks[place]
    assert isinstance(heading, Heading)
    total = HEADING[heading.level]
    for later, block in enumerate(blocks[place + 1 :], start=place + 1):
        match block:
            case Heading(level):
                total += HEADING[level]
                continue
            case Paragraph():
                total += lines[later] + GENEROUS / 3
                continue
            case Ledger():
                total += openings[later] + GENEROUS
            case Table(_, rows, _):
                total += min(len(rows) + 3.0, TABLE) + GENEROUS
            case Plot() | LoopPlot() | PolarPlot() | Family() | Histograms() | Comparison() | Overlaid():
                total += PLOT
            case Picture() | Overlay():
                total += lines[later]
            case Notice():
                total += NOTICE
        break
    return round(min(max(total, LEAST[heading.level]), MOST))

"""Tables of a document as pylatex fragments that fit the page.

Enters: a ``Table``. Leaves: LaTeX for it, and the size of its letters. Must not know: pages, ledgers.

A column is as wide as it needs to be while all columns fit; else smaller letters are tried, and then the
widest columns wrap. A long table breaks across pages with its head repeated.
"""

from __future__ import annotations

from dataclasses import dataclass

from pylatex import LongTable, NoEscape, Tabular

from derive.document.records import Column, Table
from derive.typeset.escape import Latex
from derive.typeset.words import ANY_WIDTH, Speaker, text_width
from derive.words import Words

TEXT_WIDTH = 48.3
"""Width of the text in em of 10 point: 170 mm."""
GAP = 1.2
SIZES = ((r"\small", 0.925), (r"\footnotesize", 0.85), (r"\scriptsize", 0.81))
"""Sizes and the widths of their letters as shares of those of 10 point: smaller designs are wider."""
KEPT_TOGETHER = 9
"""A table of more rows may break across pages."""
LEAST_ROOM = 8
"""Lines that must be left on a page for a long table to begin there: its head and about five rows."""
WRAP = {"left": r"\raggedright", "right": r"\raggedleft", "centre": r"\centering"}
LETTER = {"left": "l", "right": "r", "centre": "c"}


@dataclass(frozen=True)
class SetTable:
    """``room``: lines that must be left on a page for it to begin there."""

    size: Latex
    latex: Latex
    room: int


def set_table(table: Table, speaker: Speaker, budget: float = 1.0) -> SetTable:
    """The table with booktabs rules, no wider than the text; ``budget`` as for ``derive.typeset.page.render``."""
    needs = [_need(table, place, speaker) / budget for place in range(len(table.columns))]
    size, scale, widths = _plan(table.columns, needs)
    spec = "".join(_spec(column, width, scale) for column, width in zip(table.columns, widths, strict=True))
    room = [width if width is not None else ANY_WIDTH for width, need in zip(widths, needs, strict=True)]
    long = len(table.rows) > KEPT_TOGETHER
    fragment = (LongTable if long else Tabular)(NoEscape("@{}" + spec + "@{}"), width=len(table.columns))
    heads = _cells(tuple(column.head for column in table.columns), [ANY_WIDTH] * len(room), speaker)
    fragment.append(NoEscape(r"\toprule"))
    fragment.add_row([NoEscape(rf"\strong{{{text}}}") for text in heads])
    fragment.append(NoEscape(r"\midrule"))
    if long:
        fragment.end_table_header()
        # The last rule belongs to the foot: it never stands alone under a head at the top of a page.
        fragment.append(NoEscape(r"\bottomrule"))
        fragment.end_table_footer()
    for place, row in enumerate(table.rows, start=1):
        cells = _cells(row, room, speaker)
        fragment.append(NoEscape("&".join(cells) + _ending(place, len(table.rows), long)))
    if not long:
        fragment.append(NoEscape(r"\bottomrule"))
    return SetTable(Latex(size), Latex(fragment.dumps()), LEAST_ROOM if long else 0)


def _ending(place: int, count: int, long: bool) -> str:
    """The end of a row; neither the first nor the last two are parted by a page."""
    return r"\\*" if long and place in (1, count - 1) else r"\\"


def _need(table: Table, place: int, speaker: Speaker) -> float:
    """Width in em, at full size, that a column needs on single lines."""
    head = 1.15 * text_width(table.columns[place].head, speaker.spelling)
    return max([head, *(text_width(row[place], speaker.spelling) for row in table.rows)]) * 1.03


def _plan(columns: tuple[Column, ...], needs: list[float]) -> tuple[str, float, list[float | None]]:
    """Size of the letters, its scale, and the width of each wrapped column in em of that size."""
    gaps = GAP * (len(columns) - 1)
    for size, scale in SIZES[:2]:
        stated = [column.width * TEXT_WIDTH / scale if column.width is not None else None for column in columns]
        total = sum(need if width is None else width for need, width in zip(needs, stated, strict=True))
        if total + gaps <= TEXT_WIDTH / scale:
            return size, scale, stated
    size, scale = SIZES[0] if len(columns) <= 6 else SIZES[2]
    room = TEXT_WIDTH / scale - gaps
    wants = [column.width * TEXT_WIDTH / scale if column.width is not None else need
             for column, need in zip(columns, needs, strict=True)]  # fmt: skip
    shares = _share(wants, room)
    # A column with a stated width keeps it where it may; one without takes what its words need.
    return size, scale, [want if share is None and column.width is not None else share
                         for column, want, share in zip(columns, wants, shares, strict=True)]  # fmt: skip


def _share(wants: list[float], room: float) -> list[float | None]:
    """Narrow columns keep what they want; the wide ones share the rest equally and wrap."""
    kept: set[int] = set()
    while True:
        left = room - sum(wants[place] for place in kept)
        each = left / max(1, len(wants) - len(kept))
        more = {place for place, want in enumerate(wants) if place not in kept and want <= each}
        if not more:
            return [None if place in kept else each for place in range(len(wants))]
        kept |= more


def _spec(column: Column, width: float | None, scale: float) -> str:
    if width is None:
        return LETTER[column.align]
    share = width * scale / TEXT_WIDTH
    return rf">{{{WRAP[column.align]}\arraybackslash}}p{{{share:.4f}\textwidth}}"


def _cells(row: tuple[Words, ...], room: list[float], speaker: Speaker) -> list[str]:
    cells = [speaker.say(words, width).replace("\n", " ") for words, width in zip(row, room, strict=True)]
    # After \\ or a rule a bracket or a star would be taken for its argument.
    return ["{}" + cell if cell.startswith(("[", "*")) else cell for cell in cells]

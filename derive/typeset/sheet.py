"""A document to its page and its PDF, set again with narrower lines where one proved too wide.

Enters: a ``Document`` and the names of its symbols and devices. Leaves: ``Sheet`` and the bytes of its PDF.
Must not know: circuits.

Widths are estimated before TeX sees a line. An estimate that falls short must not cost the reader the whole
sheet: the next attempt lets lines fill less of their columns.
"""

from __future__ import annotations

from collections.abc import Iterable

from derive.document.records import Document
from derive.typeset.compile import TooWide, compile_pdf, require_engine
from derive.typeset.page import A4, Sheet, render
from derive.typeset.paper import Paper

BUDGETS = (1.0, 0.93, 0.86)
"""Shares of the columns' widths that lines may be judged to fill, one for each attempt."""


def typeset(
    document: Document,
    symbols: Iterable[str] = (),
    devices: Iterable[str] = (),
    words: Iterable[str] = (),
    *,
    paper: Paper = A4,
) -> tuple[Sheet, bytes]:
    """The sheet of a document and its PDF; parameters as for ``render``.

    Raises ToolMissing, before anything is rendered, when pdflatex is not on this machine; TooWide when a line
    is too wide at the narrowest budget; Defect as ``render`` and ``compile_pdf`` do.
    """
    require_engine()
    symbols, devices, words = tuple(symbols), tuple(devices), tuple(words)
    for budget in BUDGETS:
        sheet = render(document, symbols, devices, words, budget=budget, paper=paper)
        try:
            return sheet, compile_pdf(sheet.tex, sheet.pictures)
        except TooWide as error:
            last = error
    raise last

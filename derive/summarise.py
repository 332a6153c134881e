"""The summary of a worksheet as a PDF of two pages.

Enters: an analysis with what the worksheet says besides. Leaves: the bytes of the PDF. Must not know: files.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence

from derive.derivation.analysis import Analysis
from derive.document.compose.summary import LEANEST, summary
from derive.drawing.records import Drawing
from derive.explain.insight import Insight
from derive.typeset import typeset
from derive.typeset.paper import Paper

PAGES = 2


def summarised(
    analysis: Analysis,
    insight: Insight | None,
    versions: Mapping[str, str],
    drawing: Drawing | str | None,
    devices: Sequence[str],
    paper: Paper,
) -> bytes:
    """The fullest summary that stands on two pages; where none does, the leanest. Raises ToolMissing, Defect."""
    import pikepdf

    pdf = b""
    for leaner in range(LEANEST + 1):
        document = summary(analysis, versions, insight, drawing, leaner)
        _, pdf = typeset(document, analysis.network.symbols, devices, paper=paper)
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            if len(opened.pages) <= PAGES:
                break
    return pdf

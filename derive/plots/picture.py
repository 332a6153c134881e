"""Which drawing a block of plots gets.

Enters: a block. Leaves: a PDF. Must not know: circuits, pages. The library that draws is loaded with the first drawing.
"""

from __future__ import annotations

from derive.document.records import (
    Comparison,
    Family,
    Graph,
    Histograms,
    LoopPlot,
    Overlaid,
    Plot,
    PolarPlot,
)
from derive.plots.saving import Save, to_pdf


def picture(block: Graph, save: Save = to_pdf) -> bytes:
    """The block as PDF (a plot over frequency alone always is). Raises Defect for one without a curve."""
    match block:
        case LoopPlot():
            from derive.plots.loop import draw_loop

            return draw_loop(block, save)
        case PolarPlot():
            from derive.plots.polar import draw_polar

            return draw_polar(block, save)
        case Histograms():
            from derive.plots.histograms import draw_histograms

            return draw_histograms(block, save)
        case Comparison():
            from derive.plots.measured import draw_comparison

            return draw_comparison(block, save)
        case Overlaid():
            from derive.plots.overlay import draw_overlay

            return draw_overlay(block, save)
        case Family():
            from derive.plots.family import draw_family

            return draw_family(block, save)
        case Plot() if block.unit == "%":
            from derive.plots.errors import draw_error

            return draw_error(block)
        case _:
            from derive.plots.bode import draw

            return draw(block)

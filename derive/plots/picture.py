"""Which drawing a block of plots gets.

Enters: a block. Leaves: a PDF. Must not know: circuits, pages. The library that draws is loaded with the first drawing.
"""

from __future__ import annotations

from derive.document.records import LoopPlot, Plot, PolarPlot


def picture(block: Plot | LoopPlot | PolarPlot) -> bytes:
    """The block as PDF. Raises Defect for one without a curve."""
    match block:
        case LoopPlot():
            from derive.plots.loop import draw_loop

            return draw_loop(block)
        case PolarPlot():
            from derive.plots.polar import draw_polar

            return draw_polar(block)
        case Plot() if block.unit == "%":
            from derive.plots.errors import draw_error

            return draw_error(block)
        case _:
            from derive.plots.bode import draw

            return draw(block)

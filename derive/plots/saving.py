"""A figure as the bytes of a picture, without dates or makers.

Enters: a figure of the library that draws. Leaves: PDF or SVG. Must not know: what is drawn.
"""

from __future__ import annotations

import io
import logging
from collections.abc import Callable
from typing import Any

Save = Callable[[Any], bytes]


def to_pdf(figure: Any) -> bytes:
    """The figure as PDF."""
    buffer = io.BytesIO()
    nameless = {"CreationDate": None, "ModDate": None, "Creator": None, "Producer": None}
    # The library that cuts the fonts to the glyphs in use warns of the dates in them, which are left out here.
    log = logging.getLogger("fontTools")
    level = log.level
    log.setLevel(logging.ERROR)
    try:
        figure.savefig(buffer, format="pdf", metadata=nameless)
    finally:
        log.setLevel(level)
    return buffer.getvalue()


def to_svg(figure: Any) -> bytes:
    """The figure as SVG on no ground of its own, letters as outlines, names of its parts the same at every run."""
    from matplotlib import rc_context

    buffer = io.BytesIO()
    with rc_context({"svg.hashsalt": "derive", "svg.fonttype": "path"}):
        nameless = {"Date": None, "Creator": None, "Format": None, "Type": None}
        figure.savefig(buffer, format="svg", metadata=nameless, transparent=True)
    return buffer.getvalue()

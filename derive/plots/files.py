"""A finished figure as the bytes of a PDF: the same figure, the same bytes.

Enters: a figure of the drawing library. Leaves: bytes. Must not know: what is drawn.
"""

from __future__ import annotations

import io
import logging
from typing import Any


def pdf_bytes(figure: Any) -> bytes:
    """The PDF without dates and names of programs."""
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

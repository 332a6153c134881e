"""A picture of the author's own with marks over it, as SVG in which the picture itself is contained.

Enters: the picture, its places, marks. Leaves: text. Must not know: circuits, pages, what the picture shows.
"""

from __future__ import annotations

import base64

from derive.drawing.marks import place_on
from derive.drawing.records import Marks
from derive.drawing.scan import Scanned, stage_of_scan
from derive.picture.described import told
from derive.picture.letters import safe
from derive.picture.looks import style
from derive.picture.marked import above, beneath
from derive.picture.paper import UNIT, number

TYPES = {"png": "image/png", "jpg": "image/jpeg"}


def overlay(scan: Scanned, marks: Marks, *, title: str, key: str, alone: bool = True) -> str:
    """The picture with its marks as an SVG element; parameters as for ``derive.picture.svg.svg``."""
    width, height = (UNIT * side for side in scan.units)
    marked = place_on(stage_of_scan(scan), marks)
    data = f"data:{TYPES[scan.format]};base64,{base64.b64encode(scan.image).decode()}"
    words = f"A picture of the circuit. {told(marks)}".strip()
    size = f'width="{number(width)}" height="{number(height)}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" class="schematic over-picture" '
        f'viewBox="0 {number(-height)} {number(width)} {number(height)}" {size} role="img" '
        f'aria-labelledby="{safe(key)}-title {safe(key)}-desc">',
        f'<title id="{safe(key)}-title">{safe(title)}</title>',
        f'<desc id="{safe(key)}-desc">{safe(words)}</desc>',
        *([f"<style>{style()}</style>"] if alone else []),
        f'<image href="{data}" x="0" y="{number(-height)}" {size} preserveAspectRatio="none"/>',
        *beneath(marked),
        *above(marked),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"

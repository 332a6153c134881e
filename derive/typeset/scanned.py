"""A picture of the author's own with marks over it, as TikZ source.

Enters: the picture's name and its places, marks. Leaves: ``Latex``. Must not know: circuits, what the picture shows.
"""

from __future__ import annotations

from derive.drawing.marks import place_on
from derive.drawing.records import Marks
from derive.drawing.scan import Scanned, stage_of_scan
from derive.typeset.drawn import UNIT, number, point
from derive.typeset.escape import Latex
from derive.typeset.marked import badges_and_notes, lines_of_loops


def overlay(scan: Scanned, file: str, marks: Marks) -> Latex:
    """The picture with its marks; ``file``: its name beside the page."""
    width, height = scan.units
    marked = place_on(stage_of_scan(scan), marks)
    size = f"width={number(UNIT * width)}mm, height={number(UNIT * height)}mm"
    lines = [
        f"\\useasboundingbox (0,0) rectangle {point((width, height))};",
        f"\\node[anchor=south west, inner sep=0pt] at (0,0) {{\\includegraphics[{size}]{{{file}}}}};",
        *(line for loop in marked.loops for line in lines_of_loops(loop)),
        *badges_and_notes(marked),
    ]
    body = "\n".join(f"  {line}" for line in lines)
    return Latex(f"\\begin{{tikzpicture}}[schematic, over picture]\n{body}\n\\end{{tikzpicture}}")

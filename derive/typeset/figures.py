"""The pictures of a sheet: plots and drawings, each within the page, and how many lines of text they stand for.

Enters: blocks with pictures. Leaves: LaTeX, and the files beside the page. Must not know: circuits, other blocks.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from derive.document.records import (
    Graph,
    LoopPlot,
    Overlay,
    Picture,
)
from derive.errors import Defect
from derive.typeset.drawn import UNIT, height_of, picture
from derive.typeset.escape import Latex
from derive.typeset.paper import Paper
from derive.typeset.scanned import overlay
from derive.typeset.spelling import Spelling

STEM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_\-]*\Z")
TEXT_MM, PICTURE_MM = 168.0, 150.0
"""Width of the text, and the height up to which a drawing is set, in mm."""
LINE_MM, CAPTIONS = 4.2, 4
"""Height of a line of text; lines for the title and the small print of a picture."""


@dataclass
class Figures:
    """Keeps the files of pictures as they come up. ``files``: by name."""

    spelling: Spelling
    paper: Paper
    files: dict[str, bytes] = field(default_factory=dict)

    def drawn(self, block: Picture) -> tuple[Latex, float]:
        """A drawing, and its lines of text."""
        drawing, marks = self.paper.drawing(block.drawing), self.paper.marks(block.marks)
        tall = block.tall or PICTURE_MM
        height = height_of(drawing, marks, TEXT_MM, tall)
        return picture(drawing, marks, self.spelling, width=TEXT_MM, height=tall), height / LINE_MM + CAPTIONS

    def overlaid(self, block: Overlay) -> tuple[Latex, float]:
        """A picture of the author's own with marks over it, and its lines of text."""
        file = self._keep(f"{block.stem}.{block.scan.format}", block.scan.image)
        height = UNIT * block.scan.units[1]
        return overlay(block.scan, file, self.paper.marks(block.marks)), height / LINE_MM + CAPTIONS

    def plotted(self, block: Graph) -> str:
        """The file of a plot."""
        from derive.plots.looks import decimal_sign
        from derive.plots.picture import picture as drawn_plot

        stem = (block.plot if isinstance(block, LoopPlot) else block).stem
        with decimal_sign(self.paper.decimal):
            return self._keep(f"{stem}.pdf", drawn_plot(block))

    def _keep(self, name: str, content: bytes) -> str:
        if not STEM.match(name.rpartition(".")[0]) or name in self.files:
            raise Defect(f"{name!r} cannot name a picture of this sheet")
        self.files[name] = content
        return name

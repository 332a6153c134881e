"""Documents as LaTeX and PDF.

Enters: ``derive.document.records.Document``. Leaves: a standalone LaTeX source with pictures, and its PDF.
Must not know: circuits.
"""

from derive.typeset.compile import compile_pdf
from derive.typeset.mentions import spelling_of
from derive.typeset.page import Sheet, render
from derive.typeset.sheet import typeset
from derive.typeset.spelling import Spelling

__all__ = ["Sheet", "Spelling", "compile_pdf", "render", "spelling_of", "typeset"]

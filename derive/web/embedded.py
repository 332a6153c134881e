"""A picture that a drawing library wrote as SVG, made part of a page.

Enters: a whole SVG document. Leaves: an ``svg`` element on white ground, whose names are its own on the page.
Must not know: what is drawn. For pictures that the page does not draw by itself (``derive.web.plots`` does).
"""

from __future__ import annotations

import re

from markupsafe import Markup

from derive.errors import Defect
from derive.web.escape import text

DROPPED = re.compile(r"<\?xml.*?\?>|<!DOCTYPE.*?>|<!--.*?-->|<metadata>.*?</metadata>", re.DOTALL)
NAMES = re.compile(r'(\bid="|"#|url\(#)')


def embedded(svg: str, name: str, words: str) -> Markup:
    """The picture as an element. ``name``: letters and digits that no other picture of the page has; ``words``: what
    is read out in its place. Raises Defect for what could run, or reach outside the page.
    """
    bare = DROPPED.sub("", svg).strip()
    opening = re.match(r"<svg\b[^>]*>", bare)
    if opening is None or re.search(r"<script|\bon[a-z]+=|<foreignObject|href=\"(?!#)", bare):
        raise Defect(f"the picture {name} cannot be part of a page")
    box = re.search(r'viewBox="[-0-9. ]+"', opening.group())
    if box is None:
        raise Defect(f"the picture {name} does not say how large it is")
    inner = NAMES.sub(lambda found: found.group() + f"{name}-", bare[opening.end() :])
    spaces = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    head = f'<svg {spaces} class="drawn" {box.group()} role="img" aria-label="{text(words)}">'
    return Markup(head + inner)

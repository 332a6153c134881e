"""Elements of SVG as text, with short numbers.

Enters: tags, attributes, text. Leaves: ``Markup``. Must not know: plots.
"""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from derive.web.escape import element, text


def short(value: float) -> str:
    """A coordinate to a tenth of a unit.

    >>> short(12.04), short(-0.04), short(3.25)
    ('12', '0', '3.2')
    """
    written = f"{value:.1f}".removesuffix(".0")
    return "0" if written == "-0" else written


def line(x1: float, y1: float, x2: float, y2: float, kind: str) -> Markup:
    return element("line", Markup(""), x1=short(x1), y1=short(y1), x2=short(x2), y2=short(y2), class_=kind)


def box(x: float, y: float, width: float, height: float, kind: str) -> Markup:
    return element("rect", Markup(""), x=short(x), y=short(y), width=short(width), height=short(height), class_=kind)


def label(x: float, y: float, words: str, kind: str, **more: str) -> Markup:
    return element("text", text(words), x=short(x), y=short(y), class_=kind, **more)


def path(points: Iterable[tuple[float, float]]) -> str:
    """A path through points, those that round to the same place left out."""
    found: list[str] = []
    for x, y in points:
        here = f"{short(x)} {short(y)}"
        if not found or found[-1] != here:
            found.append(here)
    return "M" + "L".join(found)

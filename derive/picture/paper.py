"""Grid units as SVG coordinates: y downwards, a fixed number of pixels a unit.

Enters: places. Leaves: attribute values. Must not know: drawings.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from derive.drawing.records import Place

UNIT = 16.0
"""Pixels a unit at natural size."""
ANCHORS = {"left": "start", "right": "end", "centre": "middle"}


def number(value: float) -> str:
    """A coordinate with at most two decimals.

    >>> number(3.0), number(-0.001)
    ('3', '0')
    """
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def at(place: Place) -> str:
    return f"{number(UNIT * place[0])} {number(-UNIT * place[1])}"


def run(places: Iterable[Place]) -> str:
    return " ".join(f"{number(UNIT * x)},{number(-UNIT * y)}" for x, y in places)


def anchored(place: Place, inner: str, named: str, anchor: Literal["left", "centre", "right"] = "centre") -> str:
    """Text whose middle line passes through a place; ``inner`` is SVG already."""
    x, y = number(UNIT * place[0]), number(-UNIT * place[1])
    return f'<text class="{named}" x="{x}" y="{y}" dy="0.35em" text-anchor="{ANCHORS[anchor]}">{inner}</text>'

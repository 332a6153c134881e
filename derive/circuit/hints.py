"""How the author wants the circuit shown: hints for the layout, a picture of the author's own.

Enters: nothing. Leaves: the records. Must not know: how anything is placed.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal


@dataclass(frozen=True)
class Hints:
    """``path``: nodes in the order in which the signal passes; ``pairs``: devices to stand level and mirrored;
    ``rows``, ``columns``: parts on one line; ``at``: places on the grid; ``turned``: degrees counter-clockwise.
    ``show``: whether the circuit is drawn at all."""

    path: tuple[str, ...] = ()
    pairs: tuple[tuple[str, str], ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    columns: tuple[tuple[str, ...], ...] = ()
    at: tuple[tuple[str, tuple[int, int]], ...] = ()
    turned: tuple[tuple[str, int], ...] = ()
    show: bool = True


@dataclass(frozen=True)
class Scan:
    """The author's own picture of the circuit: its bytes, its size in pixels, and where on it nodes and parts lie, as
    fractions of its width from the left and of its height from the top."""

    image: bytes = field(repr=False)
    format: Literal["png", "jpg"]
    size: tuple[int, int]
    nodes: tuple[tuple[str, tuple[float, float]], ...] = ()
    parts: tuple[tuple[str, tuple[float, float]], ...] = ()
    name: str = "sheet.png"
    ink: tuple[tuple[float, float, float, float], ...] = ()
    """Where something is drawn on it: left, top, right, bottom, as fractions."""

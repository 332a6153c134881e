"""How the author wants the circuit drawn: hints for the layout.

Enters: nothing. Leaves: the record. Must not know: how anything is placed.
"""

from __future__ import annotations

from dataclasses import dataclass


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

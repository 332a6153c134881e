"""Where second harmonics take each other away.

Enters: shares of the nonlinearities. Leaves: pairs, and how much of the whole is left. Must not know: LaTeX, words.

The collector current of a bipolar and its base current follow one exponential law. Where feedback at the emitter or a
source's impedance makes the bent base current take away drive, both reach the output with opposite signs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from derive.distortion.records import Share

CANCELS = 0.5
"""What is left of a sum, beside its largest term for a pair and beside the sum of all magnitudes for the whole, below
which its terms are said to cancel."""


@dataclass(frozen=True)
class Pair:
    """Two terms of one law whose second harmonics cancel; ``left``: their sum at the output (V)."""

    first: Share
    second: Share
    left: complex


def pairs(shares: Sequence[Share]) -> tuple[Pair, ...]:
    """Of each bipolar, collector and base current where they cancel."""
    of = {share.source.key: share for share in shares}
    found = []
    for share in shares:
        kind, _, name = share.source.key.partition("_")
        other = of.get(f"b_{name}") if kind == "e" else None
        if other is not None:
            left = share.second + other.second
            if abs(left) < CANCELS * max(abs(share.second), abs(other.second)):
                found.append(Pair(share, other, left))
    return tuple(found)


def left_of_all(shares: Sequence[Share]) -> float:
    """The magnitude of the whole second harmonic beside the sum of the magnitudes of its terms; 1 without any."""
    size = sum(abs(share.second) for share in shares)
    return abs(sum(share.second for share in shares)) / size if size else 1.0

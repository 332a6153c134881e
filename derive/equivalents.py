"""Drawings of the small-signal network: whole, and as the limits of an answer leave it.

Enters: an analysis, the nodes of its signal path. Leaves: drawings by question, the whole network's under "".
Must not know: LaTeX, what a drawing is used for.

A network is drawn where it has few enough elements for a reader and for the time that it takes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from derive.approximate.limits import under_limits
from derive.derivation.analysis import Analysis
from derive.derivation.records import Derivation
from derive.drawing.records import Drawing, Wish
from derive.schematic.small_signal import equivalent, reduced
from derive.sketch import drawn_wish

MOST_PARTS = 16
"""Elements, the source among them, up to which a network is drawn."""
MOST_REDUCED = 3
"""Reduced circuits that are drawn, of the first answers that have one of their own."""
WHOLE = ""


def equivalents(analysis: Analysis, path: Sequence[str]) -> Mapping[str, Drawing]:
    """The drawings that a sheet shows; what cannot be drawn is left out."""
    found: dict[str, Drawing] = {}
    if any(part.kind in DEVICES for part in analysis.circuit.parts.values()):
        found |= _drawn(WHOLE, equivalent(analysis.network, path))
    seen: list[Wish] = []
    for derivation in analysis.derivations:
        wish = _left(derivation, analysis, path)
        if wish is not None and wish not in seen and len(seen) < MOST_REDUCED:
            seen.append(wish)
            found |= _drawn(derivation.question.name, wish)
    return found


DEVICES = ("bjt", "jfet", "mosfet", "diode", "opamp")
"""Kinds that the network replaces; without any of them it is the circuit itself."""


def _drawn(name: str, wish: Wish) -> dict[str, Drawing]:
    if not 1 < len(wish.parts) <= MOST_PARTS:
        return {}
    drawing = drawn_wish(wish)
    return {name: drawing} if drawing is not None else {}


def _left(derivation: Derivation, analysis: Analysis, path: Sequence[str]) -> Wish | None:
    """The network of an answer with its limits taken; None where none of them acts on it."""
    approximate = derivation.approximate
    if approximate is None or approximate.reduced.spectrum is None or approximate.reduced.in_order:
        return None
    used = {effect.statement for effect in approximate.effects if effect.used}
    limits = [s.limit for s in analysis.statements if s.limit is not None and s.number in used]
    if not limits:
        return None
    inquiry = under_limits(derivation.exact.inquiry, limits)
    drives = analysis.network.drives
    wish = reduced(inquiry, path, drives=drives)
    return wish if len(wish.parts) < len(reduced(derivation.exact.inquiry, path, drives=drives).parts) else None

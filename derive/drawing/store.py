"""A placement as plain data, so that an edit of the circuit does not reshuffle its drawing.

Enters: a drawing; or such data and a packed wish. Leaves: the data; the parts that stay. Must not know: files.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from derive.drawing.pack import Packed
from derive.drawing.records import Drawing, Placed, Point
from derive.drawing.variants import Variant


def stored(drawing: Drawing) -> dict[str, Any]:
    """Places of parts by name: numbers and words only, fit for a TOML or JSON file."""
    return {placed.part.name: _entry(placed) for placed in drawing.parts}


def _entry(placed: Placed) -> dict[str, Any]:
    return {
        "kind": placed.part.kind,
        "pins": dict(placed.part.pins),
        "at": list(placed.at),
        "turn": placed.turn,
        "mirrored": placed.mirrored,
        "words": [[round(w.at[0] - placed.at[0], 3), round(w.at[1] - placed.at[1], 3)] for w in placed.labels],
    }


def given_places(packed: Packed, data: Mapping[str, Any] | None) -> dict[str, tuple[Point, int]]:
    """Place and variant of each part that stays: by a hint of the author, or stored and of unchanged wiring."""
    found: dict[str, tuple[Point, int]] = {}
    for part, own in zip(packed.wish.parts, packed.variants, strict=True):
        entry = (data or {}).get(part.name)
        if not isinstance(entry, Mapping) or part.name in dict(packed.wish.at):
            continue
        if entry.get("kind") != part.kind or entry.get("pins") != dict(part.pins):
            continue
        fits = [n for n, variant in enumerate(own) if _fits(variant, entry)]
        if fits:
            x, y = entry["at"]
            found[part.name] = (int(x), int(y)), min(fits, key=lambda n: _words_off(own[n], entry))
    return found


def _fits(variant: Variant, entry: Mapping[str, Any]) -> bool:
    return variant.turn == entry.get("turn") and variant.mirrored == entry.get("mirrored")


def _words_off(variant: Variant, entry: Mapping[str, Any]) -> float:
    """How far the words of a variant lie from the stored ones (a new value may be longer)."""
    return sum(
        abs(w.at[0] - x) + abs(w.at[1] - y) for w, (x, y) in zip(variant.words, entry.get("words", ()), strict=False)
    )

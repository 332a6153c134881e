"""The short form of an answer as plain data for the archive.

Enters: a derivation's short form. Leaves: a dictionary. Must not know: LaTeX, files.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

from derive.approximate.records import Certified
from derive.derivation.records import Shortened
from derive.derivation.wording import label
from derive.spoken import spoken_formula
from derive.structure.records import Candidate, Piece


def short_record(shortened: Shortened | None) -> dict[str, Any] | None:
    """The form with its pieces, its error, what was done for it, and the frontier of error against symbols."""
    if shortened is None:
        return None
    short = shortened.short
    return {
        "of": spoken_formula(shortened.name),
        "form": spoken_formula(short.written.tree),
        "pieces": [_piece(piece) for piece in short.written.pieces],
        "within": float(short.within),
        "reached": short.reached,
        "exact": short.exact,
        "error": {"spot": _finite(short.error.spot), "worst_error": _finite(short.error.worst), "at": short.error.at},
        "certified": certified_record(shortened.certified),
        "under": [label(number) for number in short.begun],
        **_made(short.candidate),
        "branches": [
            {"parts": list(branch.symbols), "far": branch.far, "largest_share": branch.share}
            for branch in short.branches
        ],
        "left_out": [{"part": name, "largest_share": share} for name, share in short.left_out],
        "frontier": [{"symbols": point.symbols, "worst_error": _finite(point.worst)} for point in short.frontier],
    }


def certified_record(found: Certified | None) -> dict[str, float | None] | None:
    """None where no bound was asked for; in it, None where a bound was not proved."""
    return None if found is None else {"band": found.band, "tolerances": found.tolerances}


def _piece(piece: Piece) -> dict[str, Any]:
    value = complex(piece.value)
    return {
        "name": piece.name.name,
        "form": spoken_formula(piece.tree),
        "value": [value.real, value.imag],
        "unit": piece.unit,
    }


def _made(candidate: Candidate | None) -> dict[str, Any]:
    if candidate is None:
        return {}
    recipe = candidate.recipe
    return {
        "removed": [{"element": r.element, "how": r.how, "cost": r.cost} for r in candidate.removals],
        "coupling_below": recipe.threshold,
        "dropped_below": recipe.tolerance,
        "dropped_by_size": candidate.by_size,
        "dropped_by_statement": {label(number): count for number, count in candidate.by_statement},
        "separated_by": candidate.separation,
    }


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None

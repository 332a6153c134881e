"""The second roads as plain data for the archive.

Enters: theories. Leaves: dictionaries of numbers and text. Must not know: LaTeX, files.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import Any

from derive.explain.asymptotic import Asymptotic
from derive.explain.blackman import Blackman
from derive.explain.bootstraps import Bootstrap, ranked
from derive.explain.constants import Corner, TimeConstants
from derive.explain.derived import Derived
from derive.explain.extra import Extra
from derive.explain.roots import Root, Roots
from derive.explain.theory import Theory
from derive.spoken import spoken_formula


def theory_records(found: Sequence[Theory]) -> dict[str, Any]:
    """What the record has at its top: ``bootstraps`` (ranked over all questions), and by question ``feedback_theory``,
    ``time_constants`` and ``roots``."""
    return {
        "bootstraps": [bootstrap_record(question, one) for question, one in ranked([t.bootstraps for t in found])],
        "feedback_theory": {t.question.name: _feedback(t) for t in found},
        "time_constants": {t.question.name: _constants(t.constants) for t in found if t.constants is not None},
        "roots": {t.question.name: _roots(t.roots) for t in found},
    }


def bootstrap_record(question: str, one: Bootstrap) -> dict[str, Any]:
    """One bootstrap; complex numbers are [re, im], infinite ones null."""
    return {
        "part": one.part,
        "symbol": one.symbol,
        "question": question,
        "near": one.near,
        "far": one.far,
        "follows": _pair(one.follows),
        "factor": _pair(one.factor),
        "resistance": one.resistance,
        "capacitance": one.capacitance,
        "negative": list(one.negative),
        "impedance": {"moving": _pair(one.moving), "held": _pair(one.held)},
        "buys": _finite(one.buys),
        "share": None if one.share is None else _pair(one.share),
        "share_held": None if one.share_held is None else _pair(one.share_held),
        "works_in": [one.low, _finite(one.high)],
        "left": _piece(one.left),
    }


def _feedback(found: Theory) -> dict[str, Any]:
    made: dict[str, Any] = {"loop": found.loop, "formula": None}
    around = found.around
    if isinstance(around, Asymptotic):
        made |= {
            "formula": "asymptotic gain",
            "chosen": around.chosen,
            "ideal": _piece(around.ideal),
            "dead": _piece(around.dead),
            "return_ratio": _piece(around.ratio),
            "by_loop": _pair(around.by_loop),
            "by_dead": _pair(around.by_dead),
        }
    elif isinstance(around, Blackman):
        made |= {
            "formula": "Blackman",
            "chosen": around.chosen,
            "dead": _piece(around.dead),
            "return_ratio_shorted": _piece(around.shorted),
            "return_ratio_open": _piece(around.opened),
            "factor": _pair(around.factor),
        }
    elif around is not None:
        made |= {"formula": "budget", "chosen": around.chosen, "dead": around.dead}
    made["extra"] = None if found.extra is None else _extra(found.extra)
    made["error_voltages"] = [
        {"part": e.part, "between": list(e.between), "on_path": e.on_path, "ratio": _piece(e.ratio)}
        for e in found.errors
    ]
    return made


def _extra(found: Extra) -> dict[str, Any]:
    return {
        "part": found.part,
        "reference": found.reference,
        "without": _piece(found.without),
        "driving": None if found.driving is None else _piece(found.driving),
        "nulled": None if found.nulled is None else _piece(found.nulled),
        "factor": _pair(found.factor),
    }


def _piece(piece: Derived) -> dict[str, Any]:
    """The value at the spot; ``form`` with the worst error in the band (0 where exact), null where none can be read."""
    parts = {
        spoken_formula(line.left): spoken_formula(line.right)
        for step in piece.steps[1:]
        for line in step.lines
        if line.left is not None
    }
    return {
        "spot": _pair(piece.spot),
        "unit": piece.exact.inquiry.unit,
        "form": None if piece.tree is None else spoken_formula(piece.tree),
        "pieces": parts,
        "error": None if piece.tree is None else _finite(piece.error),
        "terms": list(piece.exact.terms),
    }


def _constants(found: TimeConstants) -> dict[str, Any]:
    return {
        "mid_band": _piece(found.mid),
        "refused": dict(found.refused),
        **{corner.end: _corner(corner) for corner in found.corners},
    }


def _corner(corner: Corner) -> dict[str, Any]:
    return {
        "by_sum": corner.by_sum,
        "true": corner.true,
        "error": corner.error,
        "nature": corner.nature,
        "constants": [
            {"part": c.part, "value": c.value, "seen": _piece(c.seen), "seconds": c.seconds, "share": c.share}
            for c in corner.constants
        ],
    }


def _roots(found: Roots) -> dict[str, Any]:
    return {
        "poles": [_root(root) for root in found.poles],
        "zeros": [_root(root) for root in found.zeros],
        "doublets": [
            {"pole": _pair(d.pole.value), "zero": _pair(d.zero.value), "apart": d.apart} for d in found.doublets
        ],
    }


def _root(root: Root) -> dict[str, Any]:
    return {
        "value": _pair(root.value),
        "owners": [
            {"symbol": o.symbol, "sensitivity": _pair(o.sensitivity), "quality": o.quality} for o in root.owners
        ],
    }


def _pair(value: complex) -> list[float] | None:
    return [value.real, value.imag] if isfinite(value.real) and isfinite(value.imag) else None


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None

"""Tolerances, criteria, parts solved for and measurements as plain data for the record.

Enters: the analysis. Leaves: dictionaries. Must not know: files, LaTeX.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

from derive.bench.records import Benches, Held
from derive.derivation.analysis import Analysis
from derive.expression.text import write
from derive.solving.records import Solved
from derive.tolerance.records import Extreme, Spread, Tolerances


def practice_record(analysis: Analysis) -> dict[str, Any]:
    """The entries ``tolerances``, ``criteria``, ``solved`` and ``bench`` of a record."""
    return {
        "tolerances": None if analysis.tolerances is None else _tolerances(analysis.tolerances),
        "criteria": [
            {
                "name": met.criterion.name, "of": met.criterion.of, "quantity": met.criterion.quantity,
                "unit": met.criterion.unit, "frequency": float(met.criterion.frequency),
                "at_least": _number(met.criterion.at_least), "at_most": _number(met.criterion.at_most),
                "value": _finite(met.value), "met": met.holds,
            }
            for met in analysis.criteria
        ],
        "solved": [_solved(found) for found in analysis.solved],
        "bench": [] if analysis.benches is None else [_held(held) for held in analysis.benches.held],
        "bench_explanations": _explanations(analysis.benches),
    }  # fmt: skip


def _tolerances(found: Tolerances) -> dict[str, Any]:
    return {
        "causes": list(found.causes),
        "samples": found.chance.samples,
        "seed": found.chance.seed,
        "distribution": found.chance.distribution,
        "bias_linearised": found.linearised,
        "together": list(found.together),
        "yield": found.yielded,
        "answers": [_spread(spread) for spread in found.spreads],
    }


def _spread(spread: Spread) -> dict[str, Any]:
    reading, drawn, worst, recheck = spread.reading, spread.drawn, spread.worst, spread.recheck
    return {
        "of": reading.of, "quantity": reading.quantity, "unit": reading.unit, "frequency": float(reading.frequency),
        "nominal": reading.nominal,
        "criterion": None if reading.criterion is None else reading.criterion.name,
        "sensitivities": [
            {"cause": one.cause, "tolerance": one.tolerance, "fixed_bias": one.fixed, "bias_following": one.follows,
             "contribution": one.contribution}
            for one in spread.influences
        ],
        "root_sum_of_squares": spread.rss,
        "worst": {"found_by": worst.road, "places_looked_at": worst.looked, "turning": list(worst.turning),
                  "lowest": _extreme(worst.lowest), "highest": _extreme(worst.highest)},
        "drawn": {"mean": _finite(drawn.mean), "standard_deviation": _finite(drawn.deviation),
                  "central_95": [_finite(drawn.low), _finite(drawn.high)], "edges": list(drawn.edges),
                  "counts": list(drawn.counts), "yield": drawn.yielded, "without_value": drawn.odd},
        "solved_anew": None if recheck is None else {
            "tried": recheck.tried, "solved": recheck.solved, "largest_difference": _finite(recheck.worst),
            "mean": _finite(recheck.mean), "standard_deviation": _finite(recheck.deviation),
            "linearised_mean": _finite(recheck.linear_mean),
            "linearised_standard_deviation": _finite(recheck.linear_deviation),
        },
    }  # fmt: skip


def _extreme(extreme: Extreme) -> dict[str, Any]:
    return {"value": extreme.value, "linearised": _finite(extreme.linear), "at": dict(extreme.at)}


def _solved(found: Solved) -> dict[str, Any]:
    target, inverse = found.target, found.inverse
    return {
        "part": target.part, "of": target.of, "quantity": target.quantity, "equals": float(target.equals),
        "unit": found.unit, "frequency": float(target.frequency),
        "fixed_bias": list(found.fixed), "bias_following": list(found.solved), "follows": found.follows,
        "formula": None if inverse is None else {
            "text": write(inverse.tree), "exact": inverse.exact, "value": inverse.value, "error": inverse.error,
        },
        "no_formula": found.lacking or None,
        "gives": [
            {"role": given.role, "value": float(given.value), "reading": given.reading} for given in found.given
        ],
        "moved": {m.name: [m.before, m.after] for m in found.moved},
        "looked_through": list(found.looked),
        "reached": None if found.reached is None else list(found.reached),
    }  # fmt: skip


def _held(held: Held) -> dict[str, Any]:
    bench = held.bench
    meter = None if bench.meter is None else {
        "between": [bench.meter.plus, bench.meter.minus],
        "resistance": _number(bench.meter.resistance), "capacitance": _number(bench.meter.capacitance),
    }  # fmt: skip
    return {
        "of": bench.of, "name": bench.name, "because": bench.because, "file": bench.file, "k": float(bench.k),
        "meter": meter, "agrees": held.agrees, "outside": held.outside, "chi_squared": held.joint.squares,
        "along": {"cause": held.joint.telling, "score": held.joint.score, "chance": held.joint.along}
        if held.joint.telling else None,
        "chance": held.joint.chance, "looks": held.joint.looks,
        "readings": [
            {
                "quantity": row.taken.quantity, "unit": row.taken.unit, "frequency": float(row.taken.frequency),
                "measured": float(row.taken.value), "expanded_uncertainty": float(row.taken.uncertainty),
                "predicted": row.predicted, "without_meter": row.bare,
                "standard_uncertainty": row.by_meter, "predicted_standard_uncertainty": row.by_parts,
                "combined_standard_uncertainty": row.combined, "difference": row.difference, "score": row.score,
            }
            for row in held.rows
        ],
    }  # fmt: skip


def _explanations(found: Benches | None) -> list[dict[str, Any]]:
    if found is None:
        return []
    return [
        {"part": one.part, "key": one.key, "unit": one.unit, "value": one.value, "changed": one.changed,
         "rest": _finite(one.rest), "explains": one.explains, "at_end_of_range": one.at_edge}
        for one in found.explanations
    ]  # fmt: skip


def _number(value: Any) -> float | None:
    return None if value is None else float(value)


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None

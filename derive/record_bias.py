"""The part of a sheet's record that holds the bias point.

Enters: the bias point. Leaves: plain data. Must not know: LaTeX, files.

Under ``bias``: null where the circuit has neither devices nor supplies, ``{"unsolved": "why"}`` where there is no
point, else

- ``nodes`` (V; null for a node that nothing holds at d.c.), ``currents`` (A, by part: into collector, drain or anode,
  through a part from its first node to its second, out of a supply's first node, out of an op amp's output),
  ``regions`` (by device), ``powers`` (W, what a part takes up), ``stable`` (false, true, null: not known);
- ``residual`` (A, the worst sum of currents at a node), ``supply_current`` (A, all that the supplies give), ``road``,
  ``starts`` ({``made``, ``met``, ``apart``: V});
- ``points`` (all operating points where there are several, else null: {``nodes``, ``currents``, ``stable``}) and
  ``chosen`` (the place in it of the one that the sheet uses, from zero);
- ``estimate`` ({``nodes``, ``currents``, ``why``: what stopped it, or ""}) or null;
- ``contradictions`` (a list of {``part``, ``key``, ``stated``, ``found``}, A);
- ``spread`` ({``samples``, ``unsolved``, ``together``, ``moved``: by device {``current``, ``lowest``, ``highest``: A,
  ``by``: relative change for each cause at its full tolerance}}) or null;
- ``warmed`` (by device {``temperatures``: K, ``currents``: A, ``voltages``: V, ``drift``: V/K or null});
- ``parameters`` (by name {``value``, ``unit``, ``origin``: stated, converted or assumed}).

Numbers that are not finite are null.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Any

from derive.bias.records import Bias, Point, Spread, Unsolved, Warmed


def bias_record(bias: Bias | Unsolved | None) -> dict[str, Any] | None:
    """The bias point as plain data."""
    if bias is None:
        return None
    if isinstance(bias, Unsolved):
        return {"unsolved": f"{bias.what}; {bias.remedy}"}
    point = bias.point
    return {
        **_point(point),
        "regions": {name: device.region for name, device in point.devices.items()},
        "powers": _numbers(point.powers),
        "residual": _number(point.residual),
        "supply_current": _number(point.scale),
        "road": bias.road,
        "starts": {"made": bias.starts, "met": bias.met, "apart": _number(bias.apart)},
        "points": [_point(one) for one in bias.points] if len(bias.points) > 1 else None,
        "chosen": bias.chosen,
        "estimate": _estimate(bias),
        "contradictions": [
            {"part": c.part, "key": c.key, "stated": _number(c.stated), "found": _number(c.found)}
            for c in bias.contradictions
        ],
        "spread": None if bias.spread is None else _spread(bias.spread),
        "warmed": {found.part: _warmed(found) for found in bias.warmed},
        "parameters": {p.name: {"value": float(p.value), "unit": p.unit, "origin": p.origin} for p in bias.parameters},
    }


def _point(point: Point) -> dict[str, Any]:
    return {"nodes": _numbers(point.nodes), "currents": _numbers(point.currents), "stable": point.stable}


def _estimate(bias: Bias) -> dict[str, Any] | None:
    found = bias.estimate
    if found is None:
        return None
    return {"nodes": _numbers(found.nodes), "currents": _numbers(found.currents), "why": found.why}


def _spread(spread: Spread) -> dict[str, Any]:
    moved = {
        found.part: {
            "current": _number(found.current),
            "lowest": _number(found.lowest),
            "highest": _number(found.highest),
            "by": {name: _number(part) for name, part in found.by},
        }
        for found in spread.moved
    }
    together = list(spread.together)
    return {"samples": spread.samples, "unsolved": spread.unsolved, "together": together, "moved": moved}


def _warmed(found: Warmed) -> dict[str, Any]:
    return {
        "temperatures": list(found.temperatures),
        "currents": [_number(current) for current in found.currents],
        "voltages": [_number(volts) for volts in found.voltages],
        "drift": _number(found.drift),
    }


def _numbers(values: Mapping[str, float | None]) -> dict[str, float | None]:
    return {name: _number(value) for name, value in values.items()}


def _number(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None

"""What the record of a sheet says of loops, connections and stability.

Enters: a survey of loops. Leaves: plain data. Must not know: LaTeX, files.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

from derive.explain.connection import Compared, Cut, LoopCompared, State
from derive.explain.effects import Effects
from derive.explain.loop_survey import Survey
from derive.explain.loops import Loop, steady
from derive.explain.margins import Margins
from derive.explain.natural import Natural
from derive.explain.sweep import Swept
from derive.explain.written import Written
from derive.record_short import short_record
from derive.spoken import spoken_formula


def survey_record(survey: Survey) -> dict[str, Any]:
    """The entries ``loops``, ``natural``, ``connections`` and ``stability`` of a record."""
    return {
        "loops": {loop.of: _loop(loop) for loop in survey.loops.loops},
        "natural": _natural(survey.loops.natural),
        "connections": {
            "ranked": None if survey.effects is None else _effects(survey.effects),
            **{found.connection.name: _cut(found) for found in survey.cuts},
        },
        "stability": {found.sweep.name: _swept(found) for found in survey.swept},
    }


def _loop(loop: Loop) -> dict[str, Any]:
    place = steady(loop)
    return {
        "name": loop.name.name,
        "return_ratio": pair(loop.spot),
        "sense": loop.sense,
        **_margins(loop.margins),
        "steady": None if place is None else {"frequency": place.frequency, "factor": place.factor},
        "encirclements": loop.encirclements,
        "without_it": _natural(loop.opened),
        "nested": {n.dead: None if n.held is None else pair(n.held) for n in loop.nested},
        "poles": [pair(p) for p in loop.exact.spectrum.poles],
        "zeros": [pair(z) for z in loop.exact.spectrum.zeros],
        **_written(loop.written),
    }


def _margins(found: Margins) -> dict[str, Any]:
    return {
        "senses": [{"from": s.low, "to": _finite(s.high), "sense": s.sense} for s in found.stretches],
        "unity": [
            {"frequency": c.frequency, "phase_margin": c.phase_margin, "rising": c.rising} for c in found.unity
        ],
        "real_and_negative": [{"frequency": c.frequency, "factor": c.factor} for c in found.critical],
    }  # fmt: skip


def _natural(found: Natural | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "left": [pair(p) for p in found.left],
        "right": [pair(p) for p in found.right],
        "axis": list(found.axis),
        "at_zero": found.at_zero,
    }


def _effects(found: Effects) -> dict[str, Any]:
    names = [w.name for w in found.watched]
    return {
        "loop": found.loop,
        "with_all": {w.name: pair(w.value) for w in found.watched},
        "held": [
            {
                "part": e.part,
                "pin": e.pin,
                "node": e.node,
                "values": {n: None if v is None else pair(v) for n, v in zip(names, e.values, strict=True)},
                "adds": e.adds,
            }
            for e in found.effects
        ],
        "without_effect": found.left_out,
    }


def _cut(found: Cut) -> dict[str, Any]:
    asked = found.connection
    return {
        "part": asked.part,
        "pin": asked.pin,
        "node": asked.node,
        "loop": None if found.loop is None else _loop_compared(found.loop),
        "answers": {compared.name: _compared(compared) for compared in found.answers},
        "natural": {"whole": _natural(found.natural[0]), "cut": _natural(found.natural[1])},
    }


def _loop_compared(found: LoopCompared) -> dict[str, Any]:
    whole, without = (None if m is None else _margins(m) for m in found.margins)
    return {
        "of": found.of,
        "adds": found.adds,
        **_compared(found.answer),
        "margins": {"whole": whole, "cut": without},
        "sense": {"whole": found.senses[0], "cut": found.senses[1]},
    }


def _compared(found: Compared) -> dict[str, Any]:
    return {
        "unit": found.unit,
        "factor": found.factor,
        "whole": _state(found.whole),
        "cut": _state(found.cut),
    }


def _state(state: State) -> dict[str, Any]:
    return {
        "spot": None if state.spot is None else pair(state.spot),
        "infinite": state.infinite,
        "corners": list(state.corners),
        **_written(state.written),
    }


def _written(found: Written | None) -> dict[str, Any]:
    """``formula``: its lines, the exact ones where they are short; ``short``: None for these."""
    if found is None:
        return {"formula": None, "short": None}
    lines = [line for step in found.steps for line in step.lines]
    text = [
        f"{spoken_formula(line.left) if line.left else ''} {line.sign} {spoken_formula(line.right)}" for line in lines
    ]
    return {"formula": text, "short": short_record(found.shortened)}


def _swept(found: Swept) -> dict[str, Any]:
    asked = found.sweep
    return {
        "kind": asked.kind,
        "part": asked.part,
        "at": asked.at,
        "stable": found.stable,
        "spans": [{"from": s.low, "to": s.high, "right": s.right} for s in found.spans],
        "borders": [{"value": b.value, "frequency": _finite(b.frequency)} for b in found.borders],
        "loop": found.loop,
        "samples": [[s.value, s.damping, s.phase_margin] for s in found.samples],
    }


def pair(value: complex) -> list[float] | None:
    """Real and imaginary part; None for a value that is infinite."""
    return [value.real, value.imag] if isfinite(value.real) and isfinite(value.imag) else None


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None

"""How the circuit works, for the record.

Enters: explanations. Leaves: plain data for JSON. Must not know: LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from derive.explain.devices import Duty, Pin
from derive.explain.explain import Explanation
from derive.explain.insight import Insight
from derive.explain.travel import Hop, Travel
from derive.record_loops import survey_record
from derive.record_theory import theory_records


def insight_record(found: Insight) -> dict[str, Any]:
    """Everything that was seen: how the signal moves, loops and connections, second roads."""
    return {
        "explained": explanations_record(found.explanations),
        **(survey_record(found.survey) if found.survey is not None else {}),
        **theory_records(tuple(found.theories.values())),
    }


def explanations_record(found: Sequence[Explanation]) -> dict[str, Any]:
    """By the name of the gain: motions of nodes, duties of devices, and the order of travel."""
    return {e.question.name: _explanation(e) for e in found}


def _explanation(found: Explanation) -> dict[str, Any]:
    return {
        "unit": found.unit,
        "motions": {
            m.node: {
                "spot": _pair(m.spot),
                "sense": m.sense,
                "ends": [_pair(v) for v in m.ends],
                "turns": list(m.turns),
            }
            for m in found.motions
        },
        "devices": [_duty(duty) for duty in found.duties],
        "travel": None if found.travel is None else _travel(found.travel),
    }


def _duty(duty: Duty) -> dict[str, Any]:
    return {
        "part": duty.part,
        "source": duty.source,
        "way": duty.way,
        "configuration": duty.configuration,
        "driven": [_pin(pin) for pin in duty.driven],
        "taken": [_pin(pin) for pin in duty.taken],
        "passes": _pair(duty.passes),
        "partner": duty.partner,
    }


def _pin(pin: Pin) -> dict[str, Any]:
    return {"pin": pin.pin, "node": pin.node, "amount": _pair(pin.amount)}


def _travel(way: Travel) -> dict[str, Any]:
    return {
        "opened_at": way.chief,
        "forward": [_hop(hop) for hop in way.forward],
        "begins": way.begins,
        "lifts": _pair(way.lifts),
        "out": [_hop(hop) for hop in way.out],
        "back": [_hop(hop) for hop in way.back],
        "at_once": way.at_once,
    }


def _hop(hop: Hop) -> dict[str, Any]:
    return {"from": hop.start, "to": hop.to, "by": hop.by, "ratio": _pair(hop.ratio)}


def _pair(value: complex) -> list[float]:
    value = complex(value)
    return [value.real, value.imag]

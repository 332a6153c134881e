"""The element that multiplies an inquiry's answer: its law, told from the unit of its symbol.

Enters: an inquiry. Leaves: a law. Must not know: matrices, netlists.
"""

from __future__ import annotations

from derive.answers.records import Inquiry
from derive.network.records import Law

_LAWS: dict[str, Law] = {"S": "conductance", "Ω": "resistance", "F": "capacitance", "H": "inductance"}


def law_of_factor(inquiry: Inquiry) -> Law | None:
    """The law of the element named by ``inquiry.factor``, None where the answer has no factor.

    The network no longer holds the element, but it keeps its symbol, whose unit says what it is.
    Raises ValueError when that unit belongs to no element.
    """
    if inquiry.factor is None:
        return None
    unit = inquiry.network.symbols[inquiry.factor].unit
    if unit not in _LAWS:
        raise ValueError(f"{inquiry.factor} is measured in {unit}, so it is not an element")
    return _LAWS[unit]

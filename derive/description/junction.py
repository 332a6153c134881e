"""What the values of a junction FET must be to one another.

Enters: the values stated of one jfet. Leaves: nothing, or a DescriptionError.
Must not know: TOML, other parts.
"""

from __future__ import annotations

from collections.abc import Mapping

from derive.circuit.records import Quantity
from derive.description.hints import quote
from derive.description.source import Source


def check_junction(name: str, variety: str, values: Mapping[str, Quantity], source: Source) -> None:
    """Refuse a pinch-off voltage of the wrong sign, and a current that needs a conducting gate.

    Drain current and pinch-off voltage are those of I_D = I_DSS (1 - V_GS/V_P)², which holds from pinch-off
    to V_GS = 0, where the current is I_DSS. Raises DescriptionError.
    """
    _check_pinch_off(name, variety, values, source)
    current, largest = values.get("id"), values.get("idss")
    if current is not None and largest is not None and current.value > largest.value:
        raise source.error(
            ("parts", name, "id"),
            f"{name}: id is above idss ({quote(current.text)} against {quote(largest.text)})",
            "a junction FET with a reverse-biased gate carries at most idss",
        )


def _check_pinch_off(name: str, variety: str, values: Mapping[str, Quantity], source: Source) -> None:
    """The pinch-off voltage of a JFET is negative for an n-channel type and positive for a p-channel type."""
    vp = values.get("vp")
    if vp is None or ((vp.value < 0) == (variety == "n-channel") and vp.value != 0):
        return
    right = "negative" if variety == "n-channel" else "positive"
    text = vp.text.lstrip("+-")
    raise source.error(
        ("parts", name, "vp"),
        f"{name}: vp of {variety} types is {right}, and it says {quote(vp.text)}",
        f'write vp = "{"-" if right == "negative" else ""}{text}"' if vp.value else "write its pinch-off voltage",
    )

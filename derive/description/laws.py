"""What the values of one part must be to one another for its law to make sense.

Enters: the values that one part states. Leaves: nothing, or a DescriptionError.
Must not know: TOML, other parts.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from derive.circuit.records import Quantity
from derive.description.hints import quote
from derive.description.source import Source
from derive.errors import DescriptionError

Values = Mapping[str, Quantity]
Fault = tuple[str, str, str]
"""The key at fault, what is wrong, what would be right."""
LARGEST_DROP = {"vbe": Fraction(2), "vf": Fraction(6)}
"""Volts that a conducting junction stays below: two junctions in one case, a light-emitting diode (common practice)."""


def check_law(name: str, kind: str, variety: str, values: Values, source: Source) -> None:
    """Refuse values of a part that cannot hold together. Raises DescriptionError."""
    for check in _CHECKS.get(kind, ()):
        fault = check(variety, values)
        if fault is not None:
            raise _error(name, fault, source)


def _error(name: str, fault: Fault, source: Source) -> DescriptionError:
    key, what, remedy = fault
    return source.error(("parts", name, key), f"{name}: {what}", remedy)


def _pinch_off(variety: str, values: Values) -> Fault | None:
    """The pinch-off voltage of a JFET is negative for an n-channel type and positive for a p-channel type."""
    return _sign("vp", variety, "negative" if variety == "n-channel" else "positive", values)


def _threshold(variety: str, values: Values) -> Fault | None:
    """The threshold of a p-channel MOSFET is negative; that of an n-channel type has any sign (depletion types)."""
    return _sign("vth", variety, "negative", values) if variety == "p-channel" else None


def _sign(key: str, variety: str, right: str, values: Values) -> Fault | None:
    voltage = values.get(key)
    if voltage is None or (voltage.value < 0 if right == "negative" else voltage.value > 0):
        return None
    what = f"{key} of {variety} types is {right}, and it says {quote(voltage.text)}"
    if not voltage.value:
        return key, what, "write the voltage from gate to source at which its channel begins to conduct"
    return key, what, f'write {key} = "{"-" if right == "negative" else ""}{voltage.text.lstrip("+-")}"'


def _current(_: str, values: Values) -> Fault | None:
    """The law I_D = I_DSS (1 - V_GS/V_P)² holds from pinch-off to V_GS = 0, where the current is I_DSS."""
    current, largest = values.get("id"), values.get("idss")
    if current is None or largest is None or current.value <= largest.value:
        return None
    what = f"id is above idss ({quote(current.text)} against {quote(largest.text)})"
    return "id", what, "a junction FET with a reverse-biased gate carries at most idss"


def _admittance(_: str, values: Values) -> Fault | None:
    """The current at which yfs holds is one that the FET can carry."""
    admittance, largest = values.get("yfs"), values.get("idss")
    at = admittance.at if admittance is not None else None
    if at is None or largest is None or at.value <= largest.value:
        return None
    what = f"yfs holds at a current above idss ({quote(at.text)} against {quote(largest.text)})"
    return "yfs", what, "a junction FET carries at most idss; leave the current out where yfs holds at Vgs = 0"


def _capacitances(_: str, values: Values) -> Fault | None:
    """Ciss is measured with the drain at rest, and so is Cgs and Cgd in parallel."""
    whole = values.get("ciss")
    key = next((key for key in ("crss", "cgd") if key in values), None)
    if whole is None or key is None or whole.value > values[key].value:
        return None
    what = f"ciss is not above {key} ({quote(whole.text)} against {quote(values[key].text)})"
    return "ciss", what, f"ciss holds both Cgs and {key}, so that it exceeds it; check which is which"


def _drop(key: str) -> Callable[[str, Values], Fault | None]:
    def check(_: str, values: Values) -> Fault | None:
        voltage, largest = values.get(key), LARGEST_DROP[key]
        if voltage is None or voltage.value <= largest:
            return None
        what = f"{key} is above {largest} V, which is more than a conducting junction drops: {quote(voltage.text)}"
        return key, what, "check the voltage; for a chain of junctions write one part for each"

    return check


def _breakdown(variety: str, values: Values) -> Fault | None:
    if variety != "zener" or "rd" in values:
        return None
    remedy = "state rd, its slope resistance, and the currents of all devices beside it"
    return "diode", "the breakdown of a zener is not built yet", remedy


def _finite(variety: str, values: Values) -> Fault | None:
    if variety != "finite" or "gain" in values or "gbw" in values:
        return None
    return "opamp", "a finite op amp states neither gain nor gbw", 'add gain = 1e5, gbw = "1 MHz" or both'


_CHECKS: Mapping[str, tuple[Callable[[str, Values], Fault | None], ...]] = {
    "bjt": (_drop("vbe"),),
    "diode": (_breakdown, _drop("vf")),
    "jfet": (_pinch_off, _current, _admittance, _capacitances),
    "mosfet": (_threshold, _capacitances),
    "opamp": (_finite,),
}

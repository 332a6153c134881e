"""Wishes for tests that need one in particular."""

from __future__ import annotations

from derive.drawing.records import Wanted, Wish


def two(name: str, kind: str, a: str, b: str, value: str = "") -> Wanted:
    return Wanted(name, kind, (("first", a), ("second", b)), value)  # type: ignore[arg-type]


def stage(**more: object) -> Wish:
    """A common-emitter stage with a load behind a capacitor."""
    parts = (
        two("Vs", "voltage source", "src", "gnd"),
        two("Rs", "resistor", "src", "base", "2.2 kΩ"),
        Wanted("Q1", "npn", (("base", "base"), ("collector", "c"), ("emitter", "e"))),
        two("Rc", "resistor", "vcc", "c", "4.7 kΩ"),
        two("Re", "resistor", "e", "gnd", "470 Ω"),
        two("Co", "capacitor", "c", "out", "1 µF"),
        two("Rl", "resistor", "out", "gnd", "10 kΩ"),
    )
    fields: dict[str, object] = {
        "rails": (("vcc", "+12 V", "above"),), "path": ("src", "base", "c", "out"), "named": ("src", "out"),
        "level": (("src", 1.2), ("base", 1.2), ("c", 6.0), ("e", 0.6), ("vcc", 12.0)),
    }  # fmt: skip
    return Wish(parts=parts, ground="gnd", **(fields | more))  # type: ignore[arg-type]

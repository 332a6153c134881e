"""Drawings placed by hand, for the tests of whoever draws them."""

from __future__ import annotations

from derive.drawing.records import (
    Arrow,
    Badge,
    Drawing,
    Kind,
    Label,
    Loop,
    Marks,
    Placed,
    Point,
    Terminal,
    Turn,
    Voltage,
    Wanted,
    Wire,
)
from derive.drawing.symbols import SYMBOLS, body, labels, sides

ORIENTATIONS: tuple[tuple[Turn, bool], ...] = (
    (0, False), (0, True), (90, False), (90, True), (180, False), (180, True), (270, False), (270, True),
)  # fmt: skip


def part(
    name: str, kind: Kind, nodes: tuple[str, ...], at: Point, turn: Turn = 0, mirrored: bool = False, value: str = ""
) -> Placed:
    """A part with its words in the customary place."""
    wanted = Wanted(name, kind, tuple(zip((pin for pin, _ in SYMBOLS[kind].pins), nodes, strict=True)), value)
    words = labels((name, value), sides(kind, turn, mirrored)[0], body(kind, turn, mirrored))
    moved = tuple(Label(w.words, (w.at[0] + at[0], w.at[1] + at[1]), w.anchor) for w in words)
    return Placed(wanted, at, turn, mirrored, moved)


def follower() -> Drawing:
    """A source follower whose gate resistor is bootstrapped (values invented)."""
    parts = (
        part("Vs", "voltage source", ("src", "gnd"), (0, -2), 270, value="1 V"),
        part("Rs", "resistor", ("src", "gate"), (4, 2), value="100 kΩ"),
        part("Rg", "resistor", ("gate", "boot"), (8, -4), 270, value="10 MΩ"),
        part("Q1", "n-jfet", ("gate", "vcc", "out"), (14, 3)),
        part("Cb", "capacitor", ("out", "boot"), (19, -3), 270, value="220 µF"),
        part("R1", "resistor", ("out", "boot"), (14, -3), 270, value="470 Ω"),
        part("R2", "resistor", ("boot", "gnd"), (14, -10), 270, value="4.7 kΩ"),
    )
    wires = (
        Wire("src", ((0, 0), (0, 2), (2, 2))),
        Wire("gate", ((6, 2), (12, 2))),
        Wire("gate", ((8, 2), (8, -2))),
        Wire("out", ((14, 1), (14, -1))),
        Wire("out", ((14, 0), (23, 0))),
        Wire("out", ((19, 0), (19, -1))),
        Wire("boot", ((8, -6), (8, -7), (14, -7), (14, -8))),
        Wire("boot", ((14, -7), (14, -5))),
        Wire("boot", ((14, -7), (19, -7), (19, -5))),
        Wire("gnd", ((0, -4), (0, -5))),
    )
    terminals = (
        Terminal("gnd", (0, -5), "below", None),
        Terminal("gnd", (14, -12), "below", None),
        Terminal("vcc", (14, 5), "above", "Vcc 15 V"),
    )
    return Drawing(
        parts, wires, ((8, 2), (14, 0), (19, 0), (14, -7)), terminals, (("out", Label("out", (23.4, 0), "left")),)
    )


AROUND = (("Q1", "source"), ("Cb", "first"), ("Cb", "second"), ("Rg", "second"), ("Rg", "first"), ("Q1", "gate"))
INNER = (("Q1", "gate"), ("Q1", "source"), ("R1", "first"), ("R1", "second"), ("Rg", "second"), ("Rg", "first"))


def marks() -> Marks:
    """One mark of each sort and two loops that share wires."""
    voltages = tuple(Voltage(node, words) for node, words in
                     (("gate", "0.00 V"), ("out", "2.31 V"), ("boot", "2.10 V"), ("src", "0 V")))  # fmt: skip
    arrows = (Arrow("gate", True, 1.0, "1.00"), Arrow("out", True, 0.95, "0.95"), Arrow("boot", False, 0.0, "0.93"))
    loops = (Loop("T", AROUND, False, 0), Loop("L", INNER, True, 1))
    return Marks(voltages, arrows, loops, (Badge("Rg", "× 21"),), ("Cb",))


def alone(kind: Kind, turn: Turn = 0, mirrored: bool = False) -> Drawing:
    """One part and nothing else."""
    nodes = ("a", "b", "c")[: len(SYMBOLS[kind].pins)]
    return Drawing((part("X1", kind, nodes, (0, 0), turn, mirrored, "1 kΩ"),), (), (), (), ())

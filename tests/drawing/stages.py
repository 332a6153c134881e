"""Random wishes that look like circuits: stages in a row, loads on rails, couplings, feedback now and then."""

from __future__ import annotations

from random import Random

from derive.drawing.records import Wanted, Wish

RAILS = (("vcc", "+12 V", "above"), ("vee", "−12 V", "below"))
CHANNELS = {
    "npn": ("base", "collector", "emitter"), "pnp": ("base", "emitter", "collector"),
    "n-jfet": ("gate", "drain", "source"), "p-jfet": ("gate", "source", "drain"),
    "n-mosfet": ("gate", "drain", "source"), "p-mosfet": ("gate", "source", "drain"),
}  # fmt: skip


class Maker:
    """Adds parts to a circuit until it has as many as wanted."""

    def __init__(self, seed: int, count: int) -> None:
        self.chance, self.count = Random(seed), count
        self.parts: list[Wanted] = []
        self.path = ["src"]
        self.level: dict[str, float] = {"vcc": 12.0, "vee": -12.0, "src": 0.0}
        self.fresh = 0

    def node(self, level: float) -> str:
        self.fresh += 1
        self.level[f"n{self.fresh}"] = level
        return f"n{self.fresh}"

    def add(self, kind: str, nodes: tuple[str, ...], pins: tuple[str, ...] = ("first", "second")) -> None:
        letter = {"resistor": "R", "capacitor": "C", "inductor": "L", "diode": "D", "voltage source": "V"}.get(
            kind, "Q"
        )
        names = ("anode", "cathode") if kind == "diode" else pins
        value = self.chance.choice(("1 kΩ", "4.7 kΩ", "220 Ω")) if kind == "resistor" else ""
        value = self.chance.choice(("10 µF", "470 pF")) if kind == "capacitor" else value
        self.parts.append(Wanted(f"{letter}{len(self.parts) + 1}", kind, tuple(zip(names, nodes, strict=True)), value))  # type: ignore[arg-type]

    def two(self, a: str, b: str) -> None:
        self.add(self.chance.choice(("resistor", "resistor", "capacitor", "inductor", "diode")), (a, b))

    def stage(self) -> None:
        here = self.path[-1]
        kind = self.chance.choice((*CHANNELS, "op amp", "passive", "passive"))
        if kind == "passive":
            out = self.node(self.level[here])
            self.two(here, out)
            if self.chance.random() < 0.5:
                self.two(out, self.chance.choice(("gnd", "gnd", "vee")))
            self.path.append(out)
        elif kind == "op amp":
            out, minus = self.node(0.0), self.node(0.0)
            self.add("op amp", (here, minus, out), ("plus", "minus", "out"))
            self.add("resistor", (out, minus))
            self.add("resistor", (minus, "gnd"))
            self.path.append(out)
        else:
            top, low = self.node(self.level[here] + 4), self.node(self.level[here] - 1)
            self.add(kind, (here, top, low), CHANNELS[kind])
            self.add("resistor", ("vcc", top))
            self.add("resistor", (low, self.chance.choice(("gnd", "vee"))))
            self.path.append(self.chance.choice((top, low)))

    def extra(self) -> None:
        """A coupling between two nodes, or a load."""
        nodes = [node for node in self.level if node not in ("vcc", "vee", "src")]
        if len(nodes) > 1 and self.chance.random() < 0.6:
            a, b = self.chance.sample(nodes, 2)
            self.two(a, b)
        elif nodes:
            self.two(self.chance.choice(nodes), "gnd")

    def make(self) -> Wish:
        self.add("voltage source", ("src", "gnd"))
        while len(self.parts) < self.count:
            if self.chance.random() < 0.7 or len(self.parts) < 2:
                self.stage()
            else:
                self.extra()
        used = {node for part in self.parts for _, node in part.pins}
        return Wish(
            parts=tuple(self.parts), ground="gnd", rails=tuple(rail for rail in RAILS if rail[0] in used),  # type: ignore[misc]
            level=tuple(self.level.items()), path=tuple(self.path), named=tuple(self.path),
        )  # fmt: skip


def random_wish(seed: int) -> Wish:
    """A wish of about 3 to 15 parts."""
    return Maker(seed, 3 + seed % 11).make()

"""Small circuits for tests: parts as records, their description as text, and random ones.

Enters: records, texts, or a source of random numbers. Leaves: descriptions and circuits, all invented.
Must not know: equations (tests.nodal has them), answers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from random import Random

from derive.circuit.records import Circuit
from derive.description.reader import read_text

ENDS = {
    "bjt": ("base", "collector", "emitter"),
    "jfet": ("gate", "drain", "source"),
    "opamp": ("plus", "minus", "out"),
}
VARIETY = {"bjt": "npn", "jfet": "n-channel", "opamp": "ideal"}
UNIT = {
    "resistor": "Ω", "capacitor": "F", "inductor": "H", "transconductance": "S",
    "gm": "S", "rpi": "Ω", "ro": "Ω", "cpi": "F", "cmu": "F", "cgs": "F", "cgd": "F",
}  # fmt: skip


@dataclass(frozen=True)
class Piece:
    """A part: its kind, name, nodes in the order of its pins, and exact values.

    The value of a two-terminal part and of a transconductance is under its kind. A ``signal`` is a
    ``voltage`` or a ``current`` by its ``variety``.
    """

    kind: str
    name: str
    nodes: tuple[str, ...]
    values: Mapping[str, Decimal] = field(default_factory=dict)
    variety: str = ""

    def line(self) -> str:
        """The line of the description."""
        values = [f'{key} = "{value} {UNIT[key]}"' for key, value in self.values.items()]
        if self.kind in ENDS:
            ends = [f'{pin} = "{node}"' for pin, node in zip(ENDS[self.kind], self.nodes, strict=True)]
            head = [f'{self.kind} = "{VARIETY[self.kind]}"']
        elif self.kind == "transconductance":
            ends = [f'from = ["{self.nodes[0]}", "{self.nodes[1]}"]', f'sense = ["{self.nodes[2]}", "{self.nodes[3]}"]']
            head = []
        else:
            ends = [f'between = ["{self.nodes[0]}", "{self.nodes[1]}"]']
            head = [f'signal = "{self.variety}"'] if self.kind == "signal" else []
        return f"{self.name} = {{ {', '.join([*head, *values, *ends])} }}"


def circuit(parts: str | Iterable[Piece], *questions: str, assume: Sequence[str] = (), about: str = "") -> Circuit:
    """The circuit of some parts (lines of a description, or pieces).

    A question is written ``name: gain = { … }``; a statement is what ``that`` says, or ``short = […]`` and the like.
    """
    lines = parts if isinstance(parts, str) else "\n".join(piece.line() for piece in parts)
    tables = [f"[about]\n{about}", f"[parts]\n{lines}"]
    for question in questions:
        name, _, ask = question.partition(": ")
        tables.append(f'[[question]]\nname = "{name}"\n{ask}')
    for statement in assume:
        table = statement if any(mark in statement for mark in (" = ", '"')) else f'that = "{statement}"'
        tables.append(f"[[assume]]\n{table}")
    return read_text("\n".join(tables) + "\n", "test.toml")


class Maker:
    """Makes pieces with random values of everyday size and with names that count up."""

    def __init__(self, source: Random) -> None:
        self.source = source
        self.pieces: list[Piece] = []

    def value(self, low: int, high: int) -> Decimal:
        """Two digits times a power of ten, 10^low … 10^high."""
        return Decimal(self.source.randrange(10, 100)).scaleb(self.source.randrange(low, high + 1) - 1)

    def name(self, letter: str) -> str:
        return f"{letter}{1 + sum(1 for piece in self.pieces if piece.name.startswith(letter))}"

    def add(self, kind: str, *nodes: str) -> Piece:
        letter, values = self._values(kind)
        piece = Piece(kind, self.name(letter), nodes, values)
        self.pieces.append(piece)
        return piece

    def signal(self, variety: str, plus: str, minus: str = "gnd") -> None:
        letter = "Vs" if variety == "voltage" else "Is"
        self.pieces.insert(0, Piece("signal", letter, (plus, minus), {}, variety))

    def _values(self, kind: str) -> tuple[str, dict[str, Decimal]]:
        match kind:
            case "resistor":
                return "R", {kind: self.value(2, 4)}
            case "capacitor":
                return "C", {kind: self.value(-9, -7)}
            case "inductor":
                return "L", {kind: self.value(-3, -1)}
            case "transconductance":
                return "G", {kind: self.value(-4, -2)}
            case "bjt":
                return "Q", {"gm": self.value(-3, -2), "rpi": self.value(3, 4), "ro": self.value(4, 5)}
            case "jfet":
                return "J", {"gm": self.value(-4, -3), "ro": self.value(4, 5), "cgs": self.value(-11, -10)}
            case "opamp":
                return "U", {}
        raise ValueError(kind)

    def two_nodes(self, nodes: Sequence[str]) -> tuple[str, str]:
        first, second = self.source.sample(nodes, 2)
        return first, second


def random_passive(source: Random, count: int, extra: int, kinds: Sequence[str]) -> list[Piece]:
    """Two-terminal parts over ``count`` nodes besides ground: a tree of resistors, ``extra`` parts of ``kinds``
    anywhere, and a resistor to ground wherever only one part ends.
    """
    maker = Maker(source)
    nodes = ["gnd", *(f"n{k}" for k in range(1, count + 1))]
    for k in range(1, len(nodes)):
        maker.add("resistor", nodes[k], nodes[source.randrange(k)])
    for _ in range(extra):
        maker.add(source.choice(kinds), *maker.two_nodes(nodes))
    _close(maker, nodes)
    return maker.pieces


def random_active(source: Random, count: int, kinds: Sequence[str]) -> list[Piece]:
    """A passive network with one active part of each of ``kinds``; op amps have a resistor from output to input."""
    maker = Maker(source)
    maker.pieces = random_passive(source, count, 2, ("resistor", "capacitor", "inductor"))
    nodes = ["gnd", *(f"n{k}" for k in range(1, count + 1))]
    for kind in kinds:
        if kind == "opamp":
            out = maker.name("u")
            plus, minus = source.sample(nodes, 2) if source.random() < 0.7 else ("gnd", source.choice(nodes[1:]))
            if minus == "gnd":
                plus, minus = minus, plus
            out = f"o{maker.name('U')}"
            maker.add("opamp", plus, minus, out)
            maker.add("resistor", out, minus)
            maker.add("resistor", out, source.choice(nodes))
            nodes.append(out)
        elif kind == "transconductance":
            maker.add(kind, *maker.two_nodes(nodes), *maker.two_nodes(nodes))
        else:
            maker.add(kind, *source.sample(nodes, 3))
    return maker.pieces


def _close(maker: Maker, nodes: Sequence[str]) -> None:
    for node in nodes[1:]:
        if sum(node in piece.nodes for piece in maker.pieces) < 2:
            maker.add("resistor", node, "gnd")

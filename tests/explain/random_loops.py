"""Random active networks with a capacitor at every node, so that return ratios fall at high frequencies.

Enters: a seed. Leaves: pieces and prepared circuits. Must not know: what the right answers are.
"""

from __future__ import annotations

from random import Random

from derive.derivation.analyse import Prepared, prepare
from derive.errors import DescriptionError
from tests.networks import Maker, Piece, circuit

QUESTIONS = ('A: gain = { from = "Is", to = "n4" }', 'Z: impedance = { at = "n3" }')


def random_loop(seed: int, sources: int = 3) -> tuple[list[Piece], Prepared]:
    """Resistors and capacitors from each node to ground, some between nodes, transconductances anywhere."""
    source = Random(f"loops {seed}")
    while True:
        maker = Maker(source)
        nodes = ["n1", "n2", "n3", "n4"]
        for node in nodes:
            maker.add("resistor", node, "gnd")
            maker.add("capacitor", node, "gnd")
        for first, second in (("n1", "n2"), ("n2", "n3"), ("n3", "n4")):
            maker.add("resistor", first, second)
        maker.add("capacitor", *maker.two_nodes(nodes))
        for _ in range(sources):
            maker.add("transconductance", source.choice(nodes), "gnd", *maker.two_nodes([*nodes, "gnd"]))
        maker.add("transconductance", *maker.two_nodes(nodes), *maker.two_nodes([*nodes, "gnd"]))
        maker.signal("current", "n1")
        try:
            return maker.pieces, prepare(circuit(maker.pieces, *QUESTIONS))
        except DescriptionError:
            continue


def random_ring(seed: int) -> tuple[list[Piece], Prepared]:
    """Three stages in a ring with one inversion, with gain enough to oscillate in some of them, and a bridge."""
    source = Random(f"ring {seed}")
    maker = Maker(source)
    nodes = ["n1", "n3", "n4"]
    for place, node in enumerate(nodes):
        maker.add("resistor", node, "gnd")
        maker.add("capacitor", node, "gnd")
        ends = (node, "gnd") if place == 0 else ("gnd", node)
        maker.pieces.append(
            Piece("transconductance", f"G{place + 1}", (*ends, nodes[place - 1], "gnd"),
                  {"transconductance": maker.value(-4, -2)})
        )  # fmt: skip
    maker.add("resistor", *maker.two_nodes(nodes))
    maker.add("capacitor", *maker.two_nodes(nodes))
    maker.signal("current", "n1")
    return maker.pieces, prepare(circuit(maker.pieces, *QUESTIONS))

"""How far along the signal's way each node lies.

Enters: a wish. Leaves: a rank for each node that is drawn as wire. Must not know: coordinates.

Nodes of the path have their place in it. Each other node takes the mean of what its neighbours suggest: a passive
part suggests its other end, a device at whose control the node lies suggests one less than where its output lies,
one at whose output it lies one more than its control, and the other end of its channel weakly. The mean is found by
repetition, as in a relaxation of potentials.
"""

from __future__ import annotations

from collections.abc import Iterator

from derive.drawing.records import Wanted, Wish
from derive.drawing.symbols import TRANSISTORS

ROUNDS = 200
PASSIVE, CONTROL, OUTPUT, CHANNEL = 1.0, 1.0, 0.25, 0.25


def held(wish: Wish) -> set[str]:
    """Nodes that are drawn as local symbols."""
    return {node for node, _, _ in wish.rails} | {wish.ground}


def inputs(part: Wanted) -> tuple[str, ...]:
    """Pins at which a device listens."""
    if part.kind == "op amp":
        return ("plus", "minus")
    return (part.pins[0][0],) if part.kind in TRANSISTORS else ()


def node_ranks(wish: Wish) -> dict[str, float]:
    """A rank for each node but rails and ground."""
    still = held(wish)
    nodes = dict.fromkeys(node for part in wish.parts for _, node in part.pins if node not in still)
    fixed = {node: float(n) for n, node in enumerate(wish.path)}
    ranks = {node: fixed.get(node, len(wish.path) / 2) for node in nodes}
    hints: dict[str, list[tuple[str, float, float]]] = {node: [] for node in nodes}
    for part in wish.parts:
        for node, other, step, weight in _suggestions(part):
            if node in nodes and other in nodes and node != other:
                hints[node].append((other, step, weight))
    for _ in range(ROUNDS):
        for node, own in hints.items():
            if own and node not in fixed:
                ranks[node] = sum((ranks[o] + step) * w for o, step, w in own) / sum(w for _, _, w in own)
    return {node: round(rank, 6) for node, rank in ranks.items()}


def _suggestions(part: Wanted) -> Iterator[tuple[str, str, float, float]]:
    """Node, other node, by how much the first lies further along, weight."""
    heard = inputs(part)
    if not heard:
        (_, a), (_, b) = part.pins
        yield a, b, 0.0, PASSIVE
        yield b, a, 0.0, PASSIVE
        return
    into = [node for pin, node in part.pins if pin in heard]
    out = [node for pin, node in part.pins if pin not in heard]
    for control in into:
        for output in out:
            yield control, output, -1.0, CONTROL
            yield output, control, 1.0, OUTPUT
    if len(out) == 2:
        yield out[0], out[1], 0.0, CHANNEL
        yield out[1], out[0], 0.0, CHANNEL

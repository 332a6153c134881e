"""The small-signal equivalent circuit, whole or as an approximation has left it.

Enters: a network or an inquiry, levels of nodes, a path. Leaves: a wish. Must not know: coordinates, LaTeX.

Rails are ground already. What is contracted joins its ends, what acts on nothing or dangles from one node is left out
(unless the path or a question names that node). An op amp of finite gain is drawn as one symbol.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from derive.answers.records import Inquiry
from derive.drawing.records import Kind, Wanted, Wish
from derive.network.opamp import follows
from derive.network.records import Drive, Edge, Element, Network
from derive.schematic.words import amount

KINDS: Mapping[str, Kind] = {
    "resistance": "resistor", "conductance": "resistor", "capacitance": "capacitor", "inductance": "inductor",
}  # fmt: skip
TEST = "Vt", "It"
"""Names of the source that excites a port where no signal of the circuit lies."""


def equivalent(
    network: Network, path: Sequence[str] = (), level: Mapping[str, float] | None = None, keep: Sequence[str] = ()
) -> Wish:
    """The wish for a network with its own signal sources. ``keep``: nodes that stay though one part alone is there."""
    return _wish(network, [_drive(drive) for drive in network.drives], path, level or {}, keep)


def reduced(
    inquiry: Inquiry, path: Sequence[str] = (), level: Mapping[str, float] | None = None, drives: Sequence[Drive] = ()
) -> Wish:
    """The wish for what an inquiry asks of: its network (with limits taken or not) and what excites its port."""
    port, kind = inquiry.port, inquiry.excitation
    own = next((d for d in drives if d.kind == kind and (d.plus, d.minus) == port), None)
    name = own.name if own is not None else TEST[kind == "current"]
    source = _drive(Drive(name, kind, *port))
    return _wish(inquiry.network, [source], path, level or {}, (*inquiry.above, *(inquiry.below or ())))


def _drive(drive: Drive) -> Wanted:
    if drive.kind == "voltage":
        return Wanted(drive.name, "voltage source", (("first", drive.plus), ("second", drive.minus)))
    return Wanted(drive.name, "current source", (("first", drive.minus), ("second", drive.plus)))


def _wish(
    network: Network, sources: Sequence[Wanted], path: Sequence[str], level: Mapping[str, float], keep: Sequence[str]
) -> Wish:
    stands = _Joined(network, (*keep, *path))
    parts = [_renamed(part, stands) for part in (*sources, *_parts(network, stands))]
    parts = [part for part in parts if len({node for _, node in part.pins}) > 1]
    kept = {stands(network.node(node)) for node in (*path, *keep)} | {network.ground}
    parts = _without_dangling(parts, kept)
    nodes = {node for part in parts for _, node in part.pins}
    way = tuple(dict.fromkeys(stands(network.node(node)) for node in path))
    sensed = [stands(node) for e in network.elements if e.controlled for node in e.voltage]
    named = [node for node in (*way, *kept, *sensed) if node in nodes and node != network.ground and "." not in node]
    heights = {stands(node): volts for node, volts in level.items() if network.node(node) == node}
    return Wish(
        parts=tuple(parts),
        ground=network.ground,
        level=tuple(sorted((heights | {network.ground: 0.0}).items())) if heights else (),
        path=tuple(node for node in way if node in nodes and node != network.ground),
        named=tuple(dict.fromkeys(sorted(named))),
    )


class _Joined:
    """Which node stands for each, after what is contracted has joined its ends."""

    def __init__(self, network: Network, preferred: Sequence[str]) -> None:
        """``preferred``: nodes that give the name to what they join, later ones before earlier ones."""
        self.above: dict[str, str] = {}
        named = [network.node(node) for node in preferred]
        # A port has ground as its second node as a rule: ground still comes last, and so names what it joins.
        order = [*(node for node in named if node != network.ground), network.ground]
        for element in network.forced:
            if not element.controlled:
                a, b = (self(node) for node in element.current)
                if a in order and (b not in order or order.index(a) > order.index(b)):
                    a, b = b, a
                if a != b:
                    self.above[a] = b

    def __call__(self, node: str) -> str:
        while node in self.above:
            node = self.above[node]
        return node


def _parts(network: Network, stands: _Joined) -> list[Wanted]:
    inner = {node: e.owner for e in network.forced if (node := follows(e)) is not None}
    sensing: dict[str, Edge] = {e.owner: e.voltage for e in network.elements if e.current[1] in inner}
    found = []
    for element in network.elements:
        if inner.keys() & {*element.current, *element.voltage}:
            continue
        found.append(_element(network, element, stands))
    for element in network.forced:
        if element.controlled:
            heard = sensing.get(element.owner) if follows(element) is not None else element.voltage
            found.append(_forced(element, heard or element.voltage, network.ground))
    return found


def _element(network: Network, element: Element, stands: _Joined) -> Wanted:
    pins = (("first", element.current[0]), ("second", element.current[1]))
    symbol = network.symbols.get(element.name)
    if element.controlled:
        plus, minus = (stands(node) for node in element.voltage)
        across = f"v({plus})" if minus == network.ground else f"v({plus}, {minus})"
        return Wanted(element.name, "controlled current source", pins, f"× {across}")
    return Wanted(element.name, KINDS[element.law], pins, amount(symbol.value, symbol.unit) if symbol else "")


def _forced(element: Element, heard: Edge, ground: str) -> Wanted:
    """An op amp; or a controlled source whose slope is taken as infinite."""
    if element.law == "unity" and element.current[1] == ground:
        return Wanted(element.owner, "op amp", (("plus", heard[0]), ("minus", heard[1]), ("out", element.current[0])))
    pins = (("first", element.current[0]), ("second", element.current[1]))
    return Wanted(element.name, "controlled current source", pins, "→ ∞")


def _renamed(part: Wanted, stands: _Joined) -> Wanted:
    return replace(part, pins=tuple((pin, stands(node)) for pin, node in part.pins))


def _without_dangling(parts: list[Wanted], kept: set[str]) -> list[Wanted]:
    """Two-terminal parts that hang on one node alone carry nothing: they go, one after the other."""
    while True:
        uses: dict[str, int] = {}
        for part in parts:
            for _, node in part.pins:
                uses[node] = uses.get(node, 0) + 1
        live = [p for p in parts if len(p.pins) > 2 or all(uses[node] > 1 or node in kept for _, node in p.pins)]
        if len(live) == len(parts):
            return parts
        parts = live

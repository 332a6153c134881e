"""The way of the signal: from the chain of a gain, or by the wiring alone.

Enters: a circuit, or what was derived of it. Leaves: nodes in order. Must not know: drawings.
"""

from __future__ import annotations

from collections.abc import Iterable

import networkx

from derive.circuit.records import GROUND, Circuit, Gain
from derive.derivation.records import Chain

INPUTS = {"bjt": ("base",), "jfet": ("gate",), "mosfet": ("gate",), "opamp": ("plus", "minus")}
DEVICE, PASSIVE, CAPACITOR = 0.5, 1.0, 2.0
"""How long a step is: the signal is meant to go through devices, and a capacitor beside another way is a filter's."""


def of_chain(chain: Chain | None) -> tuple[str, ...]:
    """The nodes of a stage chain; () where there is none."""
    if chain is None:
        return ()
    nodes = [chain.links[0].source, *(link.to for link in chain.links)]
    return tuple(node for node in nodes if node)


def walk(circuit: Circuit) -> tuple[str, ...]:
    """The shortest way from the first gain's source to its output, or from a signal to the farthest node.

    Devices pass from control to channel, passive parts both ways; nothing passes through a supply or ground.
    """
    graph = networkx.DiGraph()
    held = {GROUND}
    for part in circuit.parts.values():
        if part.kind == "supply":
            held |= set(part.pins.values())
    for part in circuit.parts.values():
        heard = INPUTS.get(part.kind)
        if heard is not None:
            into = [part.pins[pin] for pin in heard]
            out = [node for pin, node in part.pins.items() if pin not in heard]
            _add(graph, ((a, b) for a in into for b in out), DEVICE)
        elif part.kind == "transconductance":
            sensing = (part.pins["sense_first"], part.pins["sense_second"])
            _add(graph, ((a, part.pins[b]) for a in sensing for b in ("first", "second")), DEVICE)
        elif part.kind not in ("supply", "signal"):
            a, b = part.pins.values()
            _add(graph, [(a, b), (b, a)], CAPACITOR if part.kind == "capacitor" else PASSIVE)
    graph.remove_nodes_from([node for node in held if node in graph])
    start, stop = _ends(circuit, held)
    if start not in graph:
        return ()
    ways = networkx.single_source_dijkstra_path(graph, start)
    if stop is None or stop not in ways:
        stop = max(ways, key=lambda node: len(ways[node])) if stop is None else None
    return tuple(ways[stop]) if stop is not None else ()


def _add(graph: networkx.DiGraph, edges: Iterable[tuple[str, str]], weight: float) -> None:
    for a, b in edges:
        if not graph.has_edge(a, b) or graph[a][b]["weight"] > weight:
            graph.add_edge(a, b, weight=weight)


def _ends(circuit: Circuit, held: set[str]) -> tuple[str, str | None]:
    for question in circuit.questions:
        if isinstance(question.ask, Gain):
            driver = circuit.parts[question.ask.driven_by]
            into = next((node for node in driver.pins.values() if node not in held), GROUND)
            start = question.ask.source if question.ask.source not in (None, *held) else into
            return start or into, question.ask.to
    for part in circuit.parts.values():
        if part.kind == "signal":
            return next((node for node in part.pins.values() if node not in held), GROUND), None
    return GROUND, None

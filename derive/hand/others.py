"""Questions that one may have answered by mistake instead of the one that was asked.

Enters: the matter. Leaves: inquiries with the slip that each stands for, the likeliest first.
Must not know: formulas by hand, LaTeX.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from derive.answers.inquire import Unanswerable, impedance, inquire, transfer, without_parts
from derive.answers.records import Inquiry
from derive.circuit.records import GROUND, Bootstrap, Gain, Impedance
from derive.errors import DeriveError
from derive.hand.matter import Matter
from derive.network.build import build
from derive.network.records import Network

Asking = tuple[str, float, tuple[str, ...], Callable[[], Inquiry]]
MOST_QUESTIONS = 48
LIFTED, NODE, RAIL = 1.35, 1.55, 1.4


@dataclass(frozen=True)
class Other:
    """A question asked by mistake. ``names``: the part, the node or the rail that it turns on."""

    slip: str
    price: float
    names: tuple[str, ...]
    inquiry: Inquiry


def other_questions(matter: Matter) -> list[Other]:
    """Each with an inquiry of its own; those that have no meaning here are left out."""
    found: list[Other] = []
    for slip, price, names, ask in _asked(matter):
        try:
            inquiry = ask()
        except (Unanswerable, DeriveError, KeyError, StopIteration):
            continue
        found.append(Other(slip, price, names, inquiry))
        if len(found) == MOST_QUESTIONS:
            break
    return found


def _asked(matter: Matter) -> Iterator[Asking]:
    match matter.question.ask:
        case Impedance(plus, minus, without):
            yield from _lifted(matter, plus, minus, without)
            yield from _rails(matter)
            for node in _nodes(matter.network):
                if matter.network.node(plus) != node:
                    yield "node", NODE, (node, plus), partial(impedance, "X", matter.network, node, GROUND, without)
        case Gain(source, to, driven_by) | Bootstrap(_, source, to, driven_by):
            yield from _rails(matter)
            yield from _unloaded(matter, to)
            for node in _nodes(matter.network):
                if matter.network.node(to) != node:
                    yield "node", NODE, (node, to), partial(transfer, "X", matter.network, driven_by, node, source)
            for node in _nodes(matter.network):
                if source is not None and matter.network.node(source) != node:
                    yield (
                        "from node", NODE + 0.05, (node, source),
                        partial(transfer, "X", matter.network, driven_by, to, node),
                    )  # fmt: skip
        case _:
            yield from _rails(matter)


def _nodes(network: Network) -> list[str]:
    return [node for node in network.nodes if node != network.ground]


def _lifted(matter: Matter, plus: str, minus: str, without: tuple[str, ...]) -> Iterator[Asking]:
    """With a part that should be lifted, or without one that should stay."""
    for part in without:
        fewer = tuple(p for p in without if p != part)
        yield "unlifted", LIFTED, (part,), partial(impedance, "X", matter.network, plus, minus, fewer)
    if len(without) > 1:
        yield "unlifted", LIFTED + 0.05, without, partial(impedance, "X", matter.network, plus, minus)
    ports = {matter.network.node(plus), matter.network.node(minus)} - {matter.network.ground}
    for part in _touching(matter, ports):
        if part not in without:
            more = (*without, part)
            yield "lifted", LIFTED + 0.05, (part,), partial(impedance, "X", matter.network, plus, minus, more)


def _unloaded(matter: Matter, to: str) -> Iterator[Asking]:
    for part in _touching(matter, {matter.network.node(to)}):
        changed = replace(matter.exact.inquiry, network=without_parts(matter.exact.inquiry.network, (part,)))
        yield "lifted", LIFTED + 0.15, (part,), partial(_itself, changed)


def _touching(matter: Matter, nodes: set[str]) -> list[str]:
    """Two-terminal parts at these nodes."""
    found: dict[str, None] = {}
    for element in matter.network.elements:
        part = matter.circuit.parts.get(element.owner)
        if part is not None and part.kind in ("resistor", "capacitor", "inductor") and set(element.current) & nodes:
            found[part.name] = None
    return list(found)


def _rails(matter: Matter) -> Iterator[Asking]:
    """A rail that was not taken as ground for signals: its supply left out, so that it floats."""
    for part in matter.circuit.parts.values():
        if part.kind == "supply":
            yield "rail", RAIL, (part.name,), partial(_around, matter, part.name)


def _floating(matter: Matter, supply: str) -> Network:
    """The network around the same bias point without a supply, so that its rail is a node like any other."""
    parts = {name: part for name, part in matter.circuit.parts.items() if name != supply}
    return build(replace(matter.circuit, parts=parts), matter.point)


def _around(matter: Matter, supply: str) -> Inquiry:
    return inquire(matter.question, _floating(matter, supply))


def _itself(inquiry: Inquiry) -> Inquiry:
    return inquiry

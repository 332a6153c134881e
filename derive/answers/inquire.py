"""From a question in the author's words to an inquiry of the network.

Enters: a checked question, the network. Leaves: an inquiry.
Must not know: kernels, numbers, LaTeX.
"""

from __future__ import annotations

from dataclasses import replace

from derive.answers.records import Inquiry
from derive.circuit.records import Bootstrap, Gain, Impedance, Question, ReturnRatio
from derive.errors import DeriveError
from derive.network.records import Drive, Edge, Element, Network


class Unanswerable(DeriveError):
    """The question has no meaning in this network; the message says why in the author's terms."""


def inquire(question: Question, network: Network) -> Inquiry:
    """The inquiry for a question (definitions: the project's README, "Questions"). Raises Unanswerable."""
    match question.ask:
        case Gain(source, to, driven_by):
            return transfer(question.name, network, driven_by, to, source)
        case Bootstrap(_, near, far, driven_by):
            return transfer(question.name, network, driven_by, far, near)
        case Impedance(plus, minus, without):
            return impedance(question.name, network, plus, minus, without)
        case ReturnRatio(of, _):
            return return_ratio(question.name, network, of)


def transfer(name: str, network: Network, driven_by: str, to: str, source: str | None) -> Inquiry:
    """V(to)/V(source) with one signal alive; ``source`` None or the driven node: per unit of the signal."""
    drive = next(d for d in network.drives if d.name == driven_by)
    others = tuple(d for d in network.drives if d is not drive)
    port = (drive.plus, drive.minus)
    if port[0] == port[1]:
        raise Unanswerable(f"signal {drive.name} has both ends on one node of zero signal")
    below: Edge | None = None
    if source is not None:
        below = (network.node(source), network.ground)
        if below[0] == network.ground:
            raise Unanswerable(f"node {source} is a rail or ground: no signal there to refer a gain to")
        if drive.kind == "voltage" and below == port:
            below = None
    unit = "Ω" if below is None and drive.kind == "current" else "V/V"
    above = (network.node(to), network.ground)
    return Inquiry(name, zeroed(network, others), drive.kind, port, above, below, None, unit)


def impedance(name: str, network: Network, plus: str, minus: str, without: tuple[str, ...] = ()) -> Inquiry:
    """V/I at a port, signals zeroed, a source across the very port and the parts in ``without`` lifted."""
    port = (network.node(plus), network.node(minus))
    if port[0] == port[1]:
        raise Unanswerable("both ends of the port are one node for signals (rails and ground count as one)")
    lifted = without_parts(network, without)
    across = lifted_drives(network, plus, minus)
    drives = tuple(d for d in network.drives if d.name not in without and d not in across)
    return Inquiry(name, zeroed(lifted, drives), "current", port, port, None, None, "Ω")


def lifted_drives(network: Network, plus: str, minus: str) -> tuple[Drive, ...]:
    """The signal sources that lie across the very port."""
    port = {network.node(plus), network.node(minus)}
    return tuple(d for d in network.drives if {d.plus, d.minus} == port)


def return_ratio(name: str, network: Network, of: str) -> Inquiry:
    """Bode's return ratio of a controlled source: w D1/D0 with D = D0 + w D1, signals zeroed."""
    try:
        element = network.element(of)
    except KeyError:
        if of in network.missing:
            raise Unanswerable(f"{of} is not in the network: {network.missing[of]}") from None
        raise Unanswerable(f"{of} acts on nothing here: both of its ends are on one node") from None
    rest = zeroed(network.delete(of), network.drives)
    return Inquiry(name, rest, "current", element.current, element.voltage, None, element.symbol, "1")


def zeroed(network: Network, drives: tuple[Drive, ...]) -> Network:
    """The network without its sources: those among ``drives`` shorted (voltages) or opened (currents)."""
    shorts = tuple(
        Element(d.name, d.name, "unity", (d.plus, d.minus), (d.plus, d.minus))
        for d in drives
        if d.kind == "voltage" and d.plus != d.minus
    )
    return replace(network, forced=network.forced + shorts, drives=())


def without_parts(network: Network, parts: tuple[str, ...]) -> Network:
    """The network with all elements of these parts lifted."""
    return replace(
        network,
        elements=tuple(e for e in network.elements if e.owner not in parts),
        forced=tuple(e for e in network.forced if e.owner not in parts),
        drives=tuple(d for d in network.drives if d.name not in parts),
    )

"""One element taken out of an answer: the four determinants of its bilinear form, as inquiries of their own.

Enters: an inquiry, an element of its network. Leaves: inquiries. Must not know: numbers, steps, LaTeX.

Every answer is N/D, and both determinants are linear in each admittance w: (N0 + w N1)/(D0 + w D1). N is the network
with the voltage that is asked held at zero by the excitation (a nullor: the port's current edge contracted with the
voltage edge above), D the network with the excitation zeroed (or with the voltage below held at zero). So w N1/N0 and
w D1/D0 are return ratios of w, or 1/w times the impedances that its terminals see, in these two networks
(R. D. Middlebrook, "Null double injection and the extra element theorem", IEEE Trans. Education 32 (1989) 167; from
memory).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from derive.answers.records import Inquiry
from derive.network.records import Edge, Element, Network

Side = Literal["zeroed", "nulled"]
NULLED = "nulled port"
ZEROED = "zeroed port"


def deleted(inquiry: Inquiry, element: Element) -> Inquiry:
    """The answer N0/D0 with the element's admittance zero."""
    return replace(inquiry, network=inquiry.network.delete(element.name))


def contracted(inquiry: Inquiry, element: Element) -> Inquiry:
    """The answer N1/D1 with the element's admittance infinite."""
    return replace(inquiry, network=inquiry.network.contract(element.name))


def at_side(inquiry: Inquiry, side: Side) -> Network:
    """The network whose determinant is D (``zeroed``) or N (``nulled``)."""
    network = inquiry.network
    if side == "nulled":
        return _held(network, NULLED, inquiry.port, inquiry.above)
    if inquiry.below is not None:
        return _held(network, NULLED, inquiry.port, inquiry.below)
    if inquiry.excitation == "voltage":
        return _held(network, ZEROED, inquiry.port, inquiry.port)
    return network


def _held(network: Network, name: str, current: Edge, voltage: Edge) -> Network:
    return replace(network, forced=(*network.forced, Element(name, name, "unity", current, voltage)))


def return_ratio_at(inquiry: Inquiry, element: Element, side: Side, name: str) -> Inquiry:
    """w D1/D0 (``zeroed``) or w N1/N0 (``nulled``) of an element of admittance w = g, a pure number or a quantity."""
    rest = at_side(inquiry, side).delete(element.name)
    return Inquiry(name, rest, "current", element.current, element.voltage, None, element.symbol, "1")


def seen_by(inquiry: Inquiry, element: Element, side: Side, name: str) -> Inquiry:
    """D1/D0 or N1/N0: the impedance that the element's terminals see with it lifted."""
    rest = at_side(inquiry, side).delete(element.name)
    unit = "1" if element.law in ("unity", "ratio", "delay") else "Ω"
    return Inquiry(name, rest, "current", element.current, element.voltage, None, None, unit)

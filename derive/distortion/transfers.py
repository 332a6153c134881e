"""The transfers that the method of nonlinear currents multiplies, as inquiries of the network.

Enters: the inquiry from the signal to the output. Leaves: inquiries. Must not know: laws.
"""

from __future__ import annotations

from dataclasses import replace

from derive.answers.inquire import zeroed
from derive.answers.records import Inquiry
from derive.network.records import Drive, Edge


def to_control(inquiry: Inquiry, edge: Edge) -> Inquiry:
    """The voltage across an edge per unit of the signal."""
    return replace(inquiry, above=edge, unit="V/V" if inquiry.excitation == "voltage" else "Ω")


def injected(inquiry: Inquiry, edge: Edge) -> Inquiry:
    """V at the output per ampere that leaves the first node of an edge through the device and enters the second."""
    network = inquiry.network
    if inquiry.excitation == "voltage":
        network = zeroed(network, (Drive("signal", "voltage", *inquiry.port),))
    return Inquiry("injected", network, "current", (edge[1], edge[0]), inquiry.above, None, None, "Ω")


def without(inquiry: Inquiry, element: str) -> Inquiry:
    """The same in the network in which one element is dead."""
    return replace(inquiry, network=inquiry.network.delete(element))

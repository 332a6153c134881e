"""From a source of noise, or a signal, to the output: an inquiry of the network.

Enters: the network, a source. Leaves: inquiries. Must not know: densities, words.
"""

from __future__ import annotations

from dataclasses import replace

from derive.answers.inquire import zeroed
from derive.answers.records import Inquiry
from derive.network.records import Edge, Element, Network
from derive.noise.records import NoiseSource


def transfer_of(source: NoiseSource, network: Network, at: str) -> Inquiry:
    """V(at) per ampere of a noise current, or per volt of a noise voltage, all signals zeroed."""
    quiet = zeroed(network, network.drives)
    above = (network.node(at), network.ground)
    if source.excitation == "voltage":
        quiet, port = _with_series_voltage(quiet, source.owner, source.port)
        return Inquiry(source.key, quiet, "voltage", port, above, None, None, "V/V")
    return Inquiry(source.key, quiet, "current", (source.port[1], source.port[0]), above, None, None, "Ω")


def _with_series_voltage(network: Network, owner: str, inputs: Edge) -> tuple[Network, Edge]:
    """The network with a node of its own between an op amp's plus input and what drives it."""
    own = f"{owner}.noise"

    def move(element: Element) -> Element:
        if element.owner == owner and element.voltage == inputs and element.current != element.voltage:
            return replace(element, voltage=(own, inputs[1]))
        return element

    moved = replace(
        network,
        elements=tuple(move(e) for e in network.elements),
        forced=tuple(move(e) for e in network.forced),
    )
    return moved, (own, inputs[0])

"""Near which voltages the bias point is to be sought, by the one name of each node.

Enters: the description's [bias], the circuit's nodes. Leaves: voltages by node, or a DescriptionError.
Must not know: how a bias point is found.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.circuit.nets import node_of
from derive.circuit.records import GROUND, Path, Quantity
from derive.description.hints import suggest

if TYPE_CHECKING:
    from derive.description.outline import Description


def resolve_near(description: Description, nodes: tuple[str, ...]) -> Mapping[str, Quantity]:
    """The stated voltages by node, in volts. Raises DescriptionError."""
    source, found, written = description.source, dict[str, Quantity](), dict[str, str]()
    for text, quantity in description.near.items():
        path: Path = ("bias", "near", text)
        node = node_of(text, description.parts, source, path)
        if node not in nodes:
            others = [name for name in nodes if name != GROUND]
            raise source.error(path, f"bias: there is no node {text}", suggest(text, others, "node"))
        if node == GROUND:
            raise source.error(path, "bias: the voltage of ground is zero", "name another node under near")
        if node in found:
            what = f"bias: {written[node]} and {text} are one node"
            raise source.error(path, what, "say its voltage once")
        found[node], written[node] = quantity, text
    return found

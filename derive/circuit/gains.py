"""Which ratio a gain is: its source, and the signal that excites.

Enters: a question's table. Leaves: a Gain, or a DescriptionError. Must not know: other questions.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from derive.circuit.asker import Asker, find_excitation
from derive.circuit.graphs import supplied_nodes
from derive.circuit.records import GROUND, Gain, Part
from derive.description.hints import quote

if TYPE_CHECKING:
    from derive.description.schema import GainTable


def read_gain(asker: Asker, table: GainTable) -> Gain:
    to = asker.node(table.to, ("gain", "to"))
    if to == GROUND:
        raise asker.error(("gain", "to"), "the gain to ground is zero", "name another node under to")
    part = asker.parts.get(table.source)
    if part is not None and part.kind == "signal" and part.variety == "current":
        if table.source in asker.nodes:
            what = f"{table.source} is a node and a part"
            raise asker.error(("gain", "from"), what, "rename one of them")
        if table.driven_by not in (None, part.name):
            what = f"the gain is from {part.name}, and it is driven by {table.driven_by}"
            raise asker.error(("gain", "driven_by"), what, f"leave driven_by out, or write {part.name}")
        return Gain(None, to, part.name)
    if part is not None and table.source not in asker.nodes:
        remedy = f"write its node, {_live_end(part)}" if part.kind == "signal" else "write a node, or a signal current"
        raise asker.error(("gain", "from"), f"{part.name} is a part, and a gain starts at a node", remedy)
    return _gain_from_node(asker, asker.node(table.source, ("gain", "from")), to, table.driven_by)


def _gain_from_node(asker: Asker, node: str, to: str, driven_by: str | None) -> Gain:
    if node == GROUND:
        raise asker.error(("gain", "from"), "the voltage of ground is zero", "name the node that is driven")
    _refuse_rail(asker, node)
    at_node = [signal for signal in asker.signals() if node in _driving_pins(signal)]
    signal = find_excitation(asker, "gain", driven_by, at_node or asker.signals(), node)
    holders = [one for one in at_node if one.variety == "voltage" and GROUND in one.pins.values() and one is not signal]
    if holders:
        what = f"node {node} is held at zero by {holders[0].name} while {signal.name} drives"
        raise asker.error(
            ("gain", "driven_by"),
            what,
            f"write driven_by = {quote(holders[0].name)}, or another node under from",
        )
    is_current_input = signal.variety == "current" and signal.pins["first"] == node
    if node == to and not is_current_input:
        what = f"the gain from node {node} to itself is one"
        raise asker.error(("gain", "to"), what, "name two different nodes under from and to")
    return Gain(None if is_current_input else node, to, signal.name)


def _refuse_rail(asker: Asker, node: str) -> None:
    supply = supplied_nodes(asker.parts.values()).get(node)
    if supply:
        what = f"node {node} is held by the supply {supply}: its signal is zero"
        raise asker.error(("gain", "from"), what, "name the node that is driven")


def _driving_pins(signal: Part) -> tuple[str, ...]:
    """The nodes at which a signal counts as driving: both of a voltage, the first of a current."""
    return tuple(signal.pins.values()) if signal.variety == "voltage" else (signal.pins["first"],)


def _live_end(signal: Part) -> str:
    return next((node for node in signal.pins.values() if node != GROUND), GROUND)

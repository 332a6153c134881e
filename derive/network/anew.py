"""The network of a circuit whose values were changed, the bias point following.

Enters: the circuit as described with its bias point, then changed circuits. Leaves: networks, or None where no
operating point is found near the old one. Must not know: why values are changed.

The new point is sought from the old one alone: a circuit with several points keeps to the one that it was in.
"""

from __future__ import annotations

import numpy as np

from derive.bias.equations import Array, System, system_of
from derive.bias.inner import with_inner_nodes, without_inner_nodes
from derive.bias.layout import Layout, layout_of
from derive.bias.parameters import parameters_of
from derive.bias.points import point_of
from derive.bias.polish import Polished
from derive.bias.records import Bias, Parameter, Point, Unsolved
from derive.bias.search import settle
from derive.bias.setting import setting_of
from derive.circuit.parts import is_stated
from derive.circuit.records import Circuit, Part
from derive.constants import thermal_voltage
from derive.network.build import build
from derive.network.model import Unfit
from derive.network.records import Network


class Anew:
    """Builds networks of changed circuits around operating points near the known one."""

    def __init__(self, circuit: Circuit, bias: Bias | Unsolved | None) -> None:
        self.near = bias.point if isinstance(bias, Bias) else None
        devices = [part for part in circuit.parts.values() if part.kind in ("bjt", "jfet", "mosfet", "diode")]
        self.follows = self.near is not None and any(not is_stated(part) for part in devices)
        """Whether any slope depends on the bias point, so that it is solved anew."""
        self.layout: Layout | None = layout_of(with_inner_nodes(circuit)) if self.near is not None else None
        self._laws: dict[int, tuple[Part, tuple[Parameter, ...]]] = {}

    def network(self, circuit: Circuit) -> Network | None:
        """The network of a changed circuit; None where its bias point is lost or a value no longer fits."""
        point = None
        if self.follows:
            point = self.point(circuit)
            if point is None:
                return None
        try:
            return build(circuit, point)
        except Unfit:
            return None

    def point(self, circuit: Circuit) -> Point | None:
        """The operating point of a changed circuit near the known one."""
        if self.near is None or self.layout is None:
            return None
        inner = with_inner_nodes(circuit)
        layout = self.layout if len(inner.nodes) == self._nodes else layout_of(inner)
        parameters = tuple(p for part in inner.parts.values() for p in self._parameters(part, circuit))
        setting = setting_of(inner, parameters, float(thermal_voltage(circuit.about.temperature)))
        system = system_of(inner, layout, setting)
        found = settle(system, _start(system, inner, self.near))
        if found is None:
            return None
        return without_inner_nodes(point_of(inner, system, setting, Polished(tuple(found), 0.0)), circuit)

    @property
    def _nodes(self) -> int:
        assert self.layout is not None
        return len(self.layout.nodes) + 1 + len(self.layout.floating)

    def _parameters(self, part: Part, circuit: Circuit) -> tuple[Parameter, ...]:
        """Of a part that has not changed they are kept: converting entries of data sheets takes its time."""
        found = self._laws.get(id(part))
        if found is None or found[0] is not part:
            found = (part, parameters_of(part, circuit.about.temperature))
            if len(self._laws) > MOST:
                self._laws.clear()
            self._laws[id(part)] = found
        return found[1]


MOST = 10_000


def _start(system: System, circuit: Circuit, near: Point) -> Array:
    """The unknowns at the known point; the inner node of a base resistance at the base's voltage."""
    x = np.zeros(system.size)
    for node, place in system.index.items():
        if not node.startswith("branch "):
            outer = node.removesuffix(".inner_base")
            known = near.nodes.get(node)
            if known is None and outer != node:
                known = near.nodes.get(circuit.parts[f"rb_{outer}"].pins["first"])
            x[place] = known or 0.0
            continue
        part = circuit.parts[node.removeprefix("branch ")]
        current = near.currents.get(part.name, 0.0)
        x[place] = current if part.kind in ("opamp", "inductor") else -current
    return x

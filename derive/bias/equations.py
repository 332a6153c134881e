"""The d.c. equations of a circuit: Kirchhoff's law at each node, and one line for each source of voltage.

Enters: the layout and the numbers of a circuit. Leaves: a System, that can be evaluated at any voltages.
Must not know: how it is solved.

Unknowns: the voltages of the held nodes, then the currents of the branches, each from the first node through the
part to the second (of an op amp: out of its output). F(x) = G x - b + currents of the devices.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from derive.bias.devices import Device, Vector, device_of
from derive.bias.laws import Exp, bounded_exp
from derive.bias.layout import Layout
from derive.bias.setting import Setting
from derive.circuit.records import Circuit, Part

Array = NDArray[np.float64]


@dataclass(frozen=True)
class System:
    """``linear`` and ``source`` are G and b; ``lags`` the places (row, column) at which an op amp's output would
    enter with s, were it given a time constant."""

    layout: Layout
    index: Mapping[str, int]
    linear: Array
    source: Array
    devices: tuple[Device, ...]
    places: tuple[tuple[int, ...], ...]
    lags: tuple[tuple[int, int], ...]
    amplifies: bool = False
    """Whether it holds a source that is controlled from elsewhere and knows no limit."""

    @property
    def size(self) -> int:
        return len(self.source)

    def controls(self, device: int, x: Sequence[Any] | Array) -> Vector:
        """What a device reads at voltages x, exactly in the arithmetic of x."""
        one = self.devices[device]
        pins = [x[place] if place >= 0 else 0 for place in self.places[device]]
        return tuple(one.sign * sum(w * v for w, v in zip(row, pins, strict=True) if w) for row in one.read.tolist())

    def jacobian(self, controls: Sequence[Vector]) -> Array:
        """The derivative of F where the devices have these controls."""
        matrix = self.linear.copy()
        for device, places, u in zip(self.devices, self.places, controls, strict=True):
            _, slopes = device.evaluate(u)
            _spread(matrix, places, device.write @ np.array(slopes) @ device.read)
        return matrix

    def residual(self, x: Sequence[Any] | Array, exponential: Exp = bounded_exp) -> list[Any]:
        """F(x) in the arithmetic of x: amperes at nodes, volts in the lines of sources."""
        found: list[Any] = []
        for row, source in zip(self.linear, self.source, strict=True):
            columns = np.nonzero(row)[0]
            found.append(sum((float(row[c]) * x[int(c)] for c in columns), -float(source)))
        for place, device in enumerate(self.devices):
            currents, _ = device.evaluate(self.controls(place, x), exponential)
            for pin, row in zip(self.places[place], device.write.tolist(), strict=True):
                if pin >= 0:
                    found[pin] += device.sign * sum(w * i for w, i in zip(row, currents, strict=True) if w)
        return found

    def linearised(self, controls: Sequence[Vector]) -> tuple[Array, Array]:
        """A and r of the equations A x = r, in which each device is its tangent at its controls."""
        matrix, right = self.linear.copy(), self.source.copy()
        for device, places, u in zip(self.devices, self.places, controls, strict=True):
            currents, slopes = device.evaluate(u)
            slope: Array = np.array(slopes)
            rest = device.sign * (device.write @ (np.array(currents) - slope @ np.array(u)))
            _spread(matrix, places, device.write @ slope @ device.read)
            for place, value in zip(places, rest, strict=True):
                if place >= 0:
                    right[place] -= value
        return matrix, right


def _spread(matrix: Array, places: tuple[int, ...], block: Array) -> None:
    for i, row in enumerate(places):
        if row >= 0:
            for j, column in enumerate(places):
                if column >= 0:
                    matrix[row, column] += block[i, j]


def system_of(circuit: Circuit, layout: Layout, setting: Setting) -> System:
    """The equations with the numbers of a setting."""
    index = {name: place for place, name in enumerate((*layout.nodes, *(f"branch {b}" for b in layout.branches)))}
    stamp = _Stamp(index, np.zeros((len(index), len(index))), np.zeros(len(index)), [])
    devices = []
    for part in circuit.parts.values():
        device = device_of(part, setting.laws, setting.vt)
        if device is not None:
            devices.append(device)
        else:
            stamp.add(part, setting.values, f"branch {part.name}" in index)
    amplifies = any(part.kind == "transconductance" for part in circuit.parts.values())
    places = tuple(tuple(index.get(pin, -1) for pin in device.pins) for device in devices)
    return System(layout, index, stamp.linear, stamp.source, tuple(devices), places, tuple(stamp.lags), amplifies)


@dataclass
class _Stamp:
    index: Mapping[str, int]
    linear: Array
    source: Array
    lags: list[tuple[int, int]]

    def add(self, part: Part, values: Mapping[str, float], branch: bool) -> None:
        value = values.get(part.name, 0.0)
        if part.kind == "opamp":
            self._opamp(part, value)
        elif part.kind == "resistor":
            self._conduct(("first", "second"), ("first", "second"), part, 1 / value)
        elif part.kind == "transconductance":
            self._conduct(("first", "second"), ("sense_first", "sense_second"), part, value)
        elif branch:
            self._voltage(part, value)
        elif part.kind == "signal":
            self._source(part.pins["first"], value)
            self._source(part.pins["second"], -value)

    def _put(self, row: int, column: int, value: float) -> None:
        if row >= 0 and column >= 0:
            self.linear[row, column] += value

    def _at(self, part: Part, pin: str) -> int:
        return self.index.get(part.pins[pin], -1)

    def _source(self, node: str, value: float) -> None:
        place = self.index.get(node, -1)
        if place >= 0:
            self.source[place] += value

    def _conduct(self, flow: tuple[str, str], sense: tuple[str, str], part: Part, value: float) -> None:
        for pin, sign in zip(flow, (1, -1), strict=True):
            for other, direction in zip(sense, (1, -1), strict=True):
                self._put(self._at(part, pin), self._at(part, other), sign * direction * value)

    def _voltage(self, part: Part, value: float) -> None:
        row = self.index[f"branch {part.name}"]
        for pin, sign in (("first", 1), ("second", -1)):
            self._put(self._at(part, pin), row, sign)
            self._put(row, self._at(part, pin), sign)
        self.source[row] = value

    def _opamp(self, part: Part, gain: float) -> None:
        row, out = self.index[f"branch {part.name}"], self._at(part, "out")
        self._put(out, row, -1)
        self._put(row, self._at(part, "plus"), 1)
        self._put(row, self._at(part, "minus"), -1)
        if gain:
            self._put(row, out, -1 / gain)
        self.lags.append((row, out))

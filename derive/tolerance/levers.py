"""How every symbol of the network moves with every cause, the bias following: straight lines in logarithms.

Enters: a circuit, its bias point, its causes. Leaves: numbers of the symbols for any places of the causes.
Must not know: answers, statistics.

A symbol that is itself a stated value moves exactly; one that is solved (gm, ro, rpi) moves as a product of powers of
the values, the powers taken at the bias point as described. So a slope that is a power of a value is exact, and what
is left out is the curvature of the bias point.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from derive.circuit.records import Circuit
from derive.errors import DeriveError
from derive.network.anew import Anew
from derive.network.records import Network
from derive.tolerance.causes import Cause, moved

STEP = 1e-4
"""Relative change of a value over which a power is taken, up and down: right to about eight digits."""
Array = NDArray[np.float64]


class Lost(DeriveError):
    """No operating point beside the one as described, though nothing has moved to speak of."""


@dataclass(frozen=True)
class Levers:
    """``powers``: d ln(symbol)/d coordinate, a row a symbol and a column a cause. ``own``: by cause the symbol that
    it is itself. ``linearised``: whether any symbol of the network follows from others that move, as slopes do."""

    causes: tuple[Cause, ...]
    names: tuple[str, ...]
    nominal: Array
    powers: Array
    own: Mapping[int, str]
    linearised: bool

    def numbers(self, at: Array) -> dict[str, Any]:
        """The numbers of all symbols; ``at`` has a row a circuit and a column a cause, each from -1 to 1."""
        coordinates = np.column_stack([cause.coordinate(at[:, i]) for i, cause in enumerate(self.causes)])
        found: dict[str, Any] = {}
        for place, name in enumerate(self.names):
            row = self.powers[place]
            if np.any(row):
                found[name] = self.nominal[place] * np.exp(coordinates @ row)
            else:
                found[name] = float(self.nominal[place])
        return found


def levers(circuit: Circuit, anew: Anew, network: Network, causes: Sequence[Cause]) -> Levers:
    """The powers by re-solving the circuit a little to both sides of each cause. Raises Lost."""
    values = {name: float(value) for name, value in network.values().items() if value}
    names = tuple(values)
    powers = np.zeros((len(names), len(causes)))
    own: dict[int, str] = {}
    symbols = {e.symbol: e.symbol for e in network.elements if e.symbol is not None}
    for column, cause in enumerate(causes):
        step = STEP / cause.tolerance
        ends = [_symbols(circuit, anew, causes, column, d) for d in (step, -step)]
        width = float(cause.coordinate(step) - cause.coordinate(-step))
        for row, name in enumerate(names):
            up, down = (end.get(name, 0.0) / values[name] for end in ends)
            if up > 0 and down > 0:
                power = float(np.log(up / down)) / width
                powers[row, column] = power if abs(power) > NOTHING else 0.0
        if cause.place is not None and cause.part in symbols:
            own[column] = cause.part
            powers[names.index(cause.part), column] = 1.0
    linearised = any(
        np.any(powers[row]) for row, name in enumerate(names) if name not in own.values() and name in symbols
    )
    return Levers(tuple(causes), names, np.array(list(values.values())), powers, own, linearised)


NOTHING = 1e-7
"""A power below this is what rounding left of none."""


def _symbols(circuit: Circuit, anew: Anew, causes: Sequence[Cause], column: int, d: float) -> dict[str, float]:
    at = [d if place == column else 0.0 for place in range(len(causes))]
    network = anew.network(moved(circuit, causes, at))
    if network is None:
        raise Lost(f"with {causes[column].name} changed by one part in ten thousand no operating point is found")
    return {name: float(value) for name, value in network.values().items()}

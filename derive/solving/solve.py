"""Solves for a part such that an answer reads as wanted: at fixed bias, and with the bias following.

Enters: the answers of changed circuits, a target, the answer as ratios where it can be written out. Leaves: Solved.
Must not know: LaTeX, derivations.

With the bias following, the reading is looked at over six decades around the present value, and each place where it
passes the wanted value is found to twelve digits; a solution between two places looked at that passes it twice is
not seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np

from derive.algebra.ratio import Ratio
from derive.answers.anew import Answers
from derive.answers.measures import MEASURES
from derive.circuit.changes import main_key, with_values
from derive.circuit.wanted import Target
from derive.errors import DeriveError
from derive.network.model import rounded
from derive.network.records import Network
from derive.solving.inverse import invert
from derive.solving.records import Given, Inverse, Lacking, MovedSymbol, Solved
from derive.solving.roots import roots
from derive.solving.series import around, nearest

PLACES, DECADES = 121, 3.0
"""Values looked at with the bias following, and how far on each side of the present value."""
AGREES = 1e-6
"""Relative difference up to which the formula and the quadratic give the same value at fixed bias."""
STILL = 1e-3
"""Relative change below which a symbol of a device is not told."""


class Unsolvable(DeriveError):
    """The part has no bearing on the answer; the message says why."""


@dataclass(frozen=True)
class Formulas:
    """The answer as a ratio: exact, and under its statements; None where it cannot be written out."""

    exact: Ratio | None
    approximate: Ratio | None = None


def solve(answers: Answers, network: Network, target: Target, formulas: Formulas) -> Solved:
    """Raises Unsolvable."""
    return _Solver(answers, network, target, formulas).solved()


class _Solver:
    def __init__(self, answers: Answers, network: Network, target: Target, formulas: Formulas) -> None:
        self.answers, self.network, self.target, self.formulas = answers, network, target, formulas
        self.circuit = answers.circuit
        key = main_key(self.circuit, target.part)
        assert key is not None
        self.place = (target.part, key)
        quantity = self.circuit.parts[target.part].values[key]
        self.present, self.unit = quantity.value, quantity.unit
        self.measure, self.frequency = MEASURES[target.quantity], float(target.frequency)
        self.wanted = float(target.equals)

    def solved(self) -> Solved:
        evaluator = self.answers.evaluator(self.network, self.target.of)
        if evaluator is None:
            raise Unsolvable(f"{self.target.of} has no finite value")
        bears = self.target.part in evaluator.symbols
        if not bears and not self.follows:
            raise Unsolvable(f"{self.target.part} has no bearing on {self.target.of}")
        fixed = self._fixed(evaluator) if bears else []
        found, reached = self._following() if self.follows else (fixed, None)
        chosen = found[0] if found else None
        network = None if chosen is None else self._network(Fraction(chosen))
        inverse, lacking = self._inverse(fixed)
        return Solved(
            self.target, self.unit, tuple(fixed), tuple(found), self._given(fixed, found), self.follows, self.range,
            reached, inverse, lacking, self._moved(network), tuple(self._left(value) for value in found),
        )  # fmt: skip

    @cached_property
    def follows(self) -> bool:
        """Whether any slope moves with the part."""
        if not self.answers.follows:
            return False
        other = self._network(self.present * Fraction(1001, 1000))
        if other is None:
            return True
        before = self.network.values()
        return any(
            name != self.target.part and before.get(name) != value for name, value in other.values().items()
        )  # fmt: skip

    @property
    def range(self) -> tuple[float, float]:
        return float(self.present) * 10**-DECADES, float(self.present) * 10**DECADES

    def _fixed(self, evaluator: object) -> list[float]:
        """All values at fixed bias, the nearest to the present one first."""
        from derive.answers.evaluate import Evaluator

        assert isinstance(evaluator, Evaluator)
        halves = evaluator.halves(self.target.part, self.network.values(), self.target.frequency)
        if halves is None:
            return []
        found = roots(halves, self.target.quantity, self.wanted, self.frequency)
        return [t * float(self.present) for t in sorted(found, key=lambda t: abs(np.log(t)))]

    def _network(self, value: Fraction) -> Network | None:
        return self.answers.network(with_values(self.circuit, {self.place: value}))

    def _complex(self, value: Fraction) -> complex:
        return self.answers.value(self._network(value), self.target.of, self.frequency)

    def reading(self, value: Fraction) -> float | None:
        """What a value gives, the bias following."""
        return self._read(self._complex(value))

    def _read(self, z: complex) -> float | None:
        """A magnitude that is wanted with a minus sign is read with the sign of the real part."""
        with np.errstate(all="ignore"):
            number = float(self.measure.take(np.complex128(z), self.frequency))
        if self.target.quantity == "magnitude" and self.wanted < 0 and z.real < 0:
            number = -number
        return number if np.isfinite(number) else None

    def _following(self) -> tuple[list[float], tuple[float, float] | None]:
        """Every value that was found, nearest to the present one first, and the range of readings."""
        from scipy.optimize import brentq

        logs = np.linspace(-DECADES, DECADES, PLACES) * np.log(10)
        readings = [self._off(float(u)) for u in logs]
        known = [r + self.wanted for r in readings if r is not None]
        found: list[float] = []
        for (u, low), (v, high) in zip(
            zip(logs, readings, strict=True), list(zip(logs, readings, strict=True))[1:], strict=False
        ):
            if low is None or high is None or low * high > 0:
                continue
            if low == 0:
                found.append(float(u))
                continue
            root = float(brentq(lambda w: _number(self._off(w)), float(u), float(v), xtol=1e-13, rtol=1e-13))
            off = self._off(root)
            # A pole passes the wanted value without reaching it.
            if off is not None and abs(off) <= 1e-6 * max(abs(self.wanted), 1e-300):
                found.append(root)
        values = [float(self.present) * float(np.exp(u)) for u in sorted(found, key=abs)]
        return values, (min(known), max(known)) if known else None

    def _off(self, logarithm: float) -> float | None:
        value = Fraction(float(self.present) * float(np.exp(logarithm)))
        reading = self.reading(value)
        return None if reading is None else reading - self.wanted

    def _given(self, fixed: Sequence[float], found: Sequence[float]) -> tuple[Given, ...]:
        rows = [Given("described", self.present, self.reading(self.present))]
        if fixed and self.follows:
            rows.append(Given("fixed", Fraction(fixed[0]), self.reading(Fraction(fixed[0]))))
        if found:
            value = Fraction(found[0])
            rows.append(Given("solved", value, self.reading(value)))
            best = nearest(value, self.target.series)
            low, high = around(value, self.target.series)
            rows.append(Given("nearest", best, self.reading(best)))
            if low != value:
                other = high if best == low else low
                rows.append(Given("neighbour", other, self.reading(other)))
        return tuple(rows)

    def _inverse(self, fixed: Sequence[float]) -> tuple[Inverse | None, Lacking]:
        """The formula from the exact answer, or from that under the statements, whichever is without s; or why not."""
        if self.target.quantity not in ("magnitude", "decibels"):
            return None, "quantity"
        laws = {element.name: element.law for element in self.network.elements}
        wanted = rounded(
            self._sign() * (abs(self.wanted) if self.target.quantity == "magnitude" else 10 ** (self.wanted / 20))
        )
        why: Lacking = "long"
        for exact, ratio in ((True, self.formulas.exact), (False, self.formulas.approximate)):
            if ratio is None:
                continue
            found = invert(ratio, self.target.part, self.target.of, laws, self.network.values(), wanted)
            if isinstance(found, str):
                why = found
                continue
            value = float(found[1])
            error = abs(value - fixed[0]) / fixed[0] if fixed else None
            if value <= 0:
                why = "negative"
            elif exact and error is not None and error > AGREES:
                why = "branch"
            else:
                return Inverse(found[0], exact, value, error), ""
        return None, why

    def _sign(self) -> int:
        """The sign of the answer that is wanted: as written, or as it is now."""
        if self.wanted < 0 and self.target.quantity == "magnitude":
            return -1
        return -1 if self.answers.value(self.network, self.target.of, self.frequency).real < 0 else 1

    def _moved(self, network: Network | None) -> tuple[MovedSymbol, ...]:
        """The slopes of devices that are others with the part as solved."""
        if network is None or not self.follows:
            return ()
        after = network.symbols
        found = []
        for name, symbol in self.network.symbols.items():
            if name in after and not symbol.parameter and symbol.owner != self.target.part and symbol.value:
                ratio = float(after[name].value / symbol.value)
                if abs(ratio - 1) > STILL:
                    found.append(MovedSymbol(name, symbol.unit, float(symbol.value), float(after[name].value)))
        return tuple(found)

    def _left(self, chosen: float) -> tuple[tuple[str, str], ...]:
        """Devices that are in another region with the part as solved."""
        near = self.answers.anew.near
        if near is None or not self.follows:
            return ()
        point = self.answers.anew.point(with_values(self.circuit, {self.place: Fraction(chosen)}))
        if point is None:
            return ()
        found = {name: device.region for name, device in point.devices.items()}
        return tuple((name, region) for name, region in found.items() if region != near.devices[name].region)


def _number(value: float | None) -> float:
    return float("nan") if value is None else value

"""The answer to an inquiry at one complex frequency: a plain modified nodal analysis in floating point.

Enters: an inquiry, the number of every symbol, s in rad/s. Leaves: a complex number and a bound on its error.
Must not know: the kernel, polynomials, symbols beyond their numbers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from derive.answers.records import Inquiry
from derive.network.records import Edge
from derive.opinion.equations import Number, System, admittance, stamp
from derive.opinion.factor import law_of_factor

Reals = NDArray[np.float64]
_EPS = float(np.finfo(float).eps)


@dataclass(frozen=True)
class NodalValue:
    """An answer with a bound on its rounding error, and the condition of the scaled matrix (1-norm)."""

    value: complex
    error: float
    condition: float


def value_by_nodal_matrix(inquiry: Inquiry, values: Mapping[str, Number], s: complex) -> complex:
    """The answer at ``s`` (rad/s), in the inquiry's unit. Errors as for :func:`solve_nodal_matrix`."""
    return solve_nodal_matrix(inquiry, values, s).value


def solve_nodal_matrix(inquiry: Inquiry, values: Mapping[str, Number], s: complex) -> NodalValue:
    """The answer at ``s`` (rad/s) with a bound on its error.

    ``values``: the number of every symbol, in SI base units. The bound is that of the computed residual
    (N. J. Higham, "Accuracy and Stability of Numerical Algorithms", 2nd ed., section 7.1; from memory),
    carried through the quotient to first order.
    Raises ArithmeticError when the equations are singular to working precision, or V(below) is zero.
    """
    system = stamp(inquiry, values, s)
    scaled = _Solution(system)
    above, above_error = scaled.read(inquiry.above)
    if inquiry.below is None:
        value, error = above, above_error
    else:
        below, below_error = scaled.read(inquiry.below)
        if abs(below) <= below_error:
            raise ArithmeticError(f"{inquiry.name}: the voltage that the answer is divided by is zero")
        value = above / below
        error = (above_error + abs(value) * below_error) / abs(below)
    law = law_of_factor(inquiry)
    if law is not None and inquiry.factor is not None:
        weight = admittance(law, values[inquiry.factor], s)
        value, error = value * weight, error * abs(weight)
    return NodalValue(complex(value), float(error), scaled.condition)


class _Solution:
    """The solved system, after rows and columns have been scaled to a largest entry near one."""

    def __init__(self, system: System) -> None:
        self._system = system
        rows, columns = _equilibrate(np.abs(system.matrix))
        matrix = rows[:, None] * system.matrix * columns[None, :]
        source = rows * system.source
        try:
            inverse = np.linalg.inv(matrix)
        except np.linalg.LinAlgError as error:
            raise ArithmeticError("the nodal equations are singular") from error
        self.condition = float(np.linalg.norm(matrix, 1) * np.linalg.norm(inverse, 1))
        if not np.isfinite(self.condition) or self.condition * _EPS > 1:
            raise ArithmeticError("the nodal equations are singular to working precision")
        unknowns = inverse @ source
        for _ in range(2):
            unknowns = unknowns + inverse @ (source - matrix @ unknowns)
        residual = abs(source - matrix @ unknowns)
        rounding = (len(source) + 1) * _EPS * (abs(matrix) @ abs(unknowns) + abs(source))
        self._unknowns, self._inverse, self._columns = unknowns, inverse, columns
        self._doubt = residual + rounding

    def read(self, edge: Edge) -> tuple[complex, float]:
        """V(first) - V(second) and a bound on its error."""
        reader = self._system.incidence(edge) * self._columns
        return complex(reader @ self._unknowns), float(abs(reader @ self._inverse) @ self._doubt)


def _equilibrate(size: Reals) -> tuple[Reals, Reals]:
    """Factors, powers of two, that bring the largest entry of each row and column near one.

    (D. Ruiz, "A scaling algorithm to equilibrate both rows and columns norms in matrices", 2001.)
    Powers of two, because multiplying by them rounds nothing.
    """
    rows, columns = np.ones(len(size)), np.ones(len(size))
    for _ in range(8):
        scaled = rows[:, None] * size * columns[None, :]
        rows /= _root(scaled.max(axis=1))
        columns /= _root(scaled.max(axis=0))
    return rows, columns


def _root(largest: Reals) -> Reals:
    """The power of two nearest to each square root; one where a whole line is zero."""
    positive = np.where(largest > 0, largest, 1.0)
    return np.exp2(np.rint(np.log2(positive) / 2))

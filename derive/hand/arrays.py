"""A formula over a whole band of frequencies at once, in double precision.

Enters: a tree, numbers, frequencies. Leaves: an array. Must not know: where the formula comes from.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

import numpy as np

from derive.expression.tree import Call, Expr, Num, Parallel, Power, Product, Quotient, Sum, Sym


def array_of(expr: Expr, numbers: Mapping[str, Fraction], frequencies: np.ndarray) -> np.ndarray:
    """Its values at frequencies in Hz; infinite or not a number where it divides by zero. Raises KeyError."""
    omega = 2 * np.pi * np.asarray(frequencies, dtype=float)
    variables = {"s": 1j * omega, "w": omega, "f": np.asarray(frequencies, dtype=float), "pi": np.pi}

    def symbol(name: str) -> np.ndarray | complex:
        if name in variables:
            return np.asarray(variables[name])
        if name in numbers:
            return float(numbers[name])
        owner = name.removeprefix("beta_")
        return float(numbers[f"gm_{owner}"] * numbers[f"rpi_{owner}"])

    with np.errstate(all="ignore"):
        return np.asarray(_value(expr, symbol), dtype=complex) * np.ones(len(omega))


def _value(expr: Expr, symbol: Callable[[str], np.ndarray | complex]) -> np.ndarray:
    match expr:
        case Num(value):
            return np.asarray(float(value), dtype=complex)
        case Sym(name):
            return np.asarray(symbol(name), dtype=complex)
        case Sum(parts):
            return np.sum(np.broadcast_arrays(*(_value(part, symbol) for part in parts)), axis=0)
        case Product(parts):
            return np.prod(np.broadcast_arrays(*(_value(part, symbol) for part in parts)), axis=0)
        case Quotient(above, below):
            return np.asarray(_value(above, symbol) / _value(below, symbol))
        case Power(base, exponent):
            return np.asarray(_value(base, symbol) ** exponent)
        case Parallel(parts):
            return np.asarray(1 / np.sum(np.broadcast_arrays(*(1 / _value(part, symbol) for part in parts)), axis=0))
        case Call("sqrt", argument):
            return np.sqrt(_value(argument, symbol))
        case Call("abs", argument):
            return np.abs(_value(argument, symbol)).astype(complex)
        case Call(_, argument):
            return np.asarray(np.log10(_value(argument, symbol)))
    raise KeyError(str(expr))

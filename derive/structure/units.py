"""The unit of a tree over the symbols of a sheet.

Enters: trees, a style. Leaves: units as text. Must not know: how trees were found, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from derive.expression.tree import Expr, Num, Parallel, Power, Product, Quotient, Sum, Sym
from derive.forms.laurent import Style, dimension

UNITS = {(1, 0): "Ω", (-1, 0): "S", (0, 0): "1", (0, 1): "s", (0, -1): "1/s", (-1, 1): "F", (1, 1): "H"}


def with_betas(numbers: Mapping[str, Any]) -> dict[str, Any]:
    """The numbers with the current gain of each device."""
    found = dict(numbers)
    for name in numbers:
        owner = name.removeprefix("gm_")
        if name != owner and f"rpi_{owner}" in numbers:
            found[f"beta_{owner}"] = numbers[name] * numbers[f"rpi_{owner}"]
    return found


def unit_of(style: Style, expr: Expr) -> str | None:
    """The unit of a tree over the ring's symbols; None where its terms do not agree (a sum with s left out)."""
    dims = _dimension(style, expr)
    return None if dims is None else UNITS.get(dims)


def _dimension(style: Style, expr: Expr) -> tuple[int, int] | None:
    match expr:
        case Num():
            return (0, 0)
        case Sym(name):
            if name.startswith("beta_"):
                return (0, 0)
            place = style.ring.index.get(name)
            if place is None:
                return None
            return dimension(style, tuple(int(i == place) for i in range(len(style.ring.names))))
        case Sum(parts) | Parallel(parts):
            return _dimension(style, parts[0])
        case Product(parts):
            found = [_dimension(style, part) for part in parts]
            if any(d is None for d in found):
                return None
            return (sum(d[0] for d in found if d), sum(d[1] for d in found if d))
        case Quotient(above, below):
            a, b = _dimension(style, above), _dimension(style, below)
            return None if a is None or b is None else (a[0] - b[0], a[1] - b[1])
        case Power(base, exponent):
            d = _dimension(style, base)
            return None if d is None else (d[0] * exponent, d[1] * exponent)
        case _:
            return None

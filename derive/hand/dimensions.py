"""Whether a result by hand is measured in what was asked.

Enters: a side, the matter. Leaves: its dimension and the answer's where they differ. Must not know: slips, LaTeX.
"""

from __future__ import annotations

from derive.errors import ExpressionError
from derive.expression.dimension import PURE, UNITS, Dimension, dimension
from derive.expression.tree import Expr, symbols
from derive.hand.matter import Matter
from derive.hand.worth import Side

_RATIOS = frozenset({"V/V", "A/A"})


def units_of(matter: Matter) -> dict[str, str]:
    """The units of all symbols that a result by hand may hold, betas included."""
    units = {name: symbol.unit for name, symbol in matter.network.symbols.items()}
    for name in matter.ground.ring.names:
        owner = name.removeprefix("gm_")
        if owner != name and f"rpi_{owner}" in matter.ground.ring.index:
            units.setdefault(f"beta_{owner}", "1")
    return units


def dimension_asked(matter: Matter) -> Dimension | None:
    """The dimension of the answer; None where its unit is of no table."""
    unit = matter.exact.inquiry.unit
    return PURE if unit in _RATIOS else UNITS.get(unit)


def unfit(side: Side, matter: Matter) -> tuple[Dimension, Dimension] | None:
    """The dimension of a formula and the answer's, where they differ.

    A bare number may be meant in any unit, and a number of decibels is compared by what it stands for.
    """
    if side.tree is None or side.is_logarithm or not symbols(side.tree) - {"pi"}:
        return None
    asked, found = dimension_asked(matter), _dimension(side.tree, matter)
    return None if asked is None or found is None or asked == found else (found, asked)


def _dimension(tree: Expr, matter: Matter) -> Dimension | None:
    try:
        return dimension(tree, units_of(matter))
    except (ExpressionError, KeyError):
        return None

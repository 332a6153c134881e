"""Nodal equations written down from parts, in whatever arithmetic the caller likes, and their solutions.

Enters: pieces. Leaves: matrices, node voltages, determinants; exact for Fractions, complex by numpy, symbolic for
sympy. Must not know: anything of ``derive``: it is the independent second opinion of the tests.

Unknowns are the node voltages, then a current for each op amp output and each voltage source (modified nodal
analysis: C.-W. Ho, A. E. Ruehli, P. A. Brennan, IEEE Trans. Circuits and Systems 22 (1975) 504; from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from tests.networks import Piece

Edge = tuple[str, str]


@dataclass(frozen=True)
class Branch:
    """An admittance: its current leaves ``current[0]``, per volt of ``sense[0]`` against ``sense[1]``."""

    name: str
    law: str
    current: Edge
    sense: Edge
    value: Fraction


def branches(pieces: Sequence[Piece]) -> list[Branch]:
    """All admittances of some parts, as the textbooks draw the small-signal models."""
    found: list[Branch] = []

    def add(name: str, law: str, value: object, first: str, second: str, *sense: str) -> None:
        found.append(Branch(name, law, (first, second), sense or (first, second), Fraction(value)))  # type: ignore[arg-type]

    for piece in pieces:
        name, values = piece.name, piece.values
        if piece.kind in ("resistor", "capacitor", "inductor", "transconductance"):
            add(name, piece.kind, values[piece.kind], *piece.nodes)
        elif piece.kind in ("bjt", "jfet"):
            control, output, common = piece.nodes
            add(f"gm_{name}", "transconductance", values["gm"], output, common, control, common)
            for key, symbol, law, ends in (
                ("rpi", "rpi", "resistor", (control, common)),
                ("ro", "ro", "resistor", (output, common)),
                ("cpi", "Cpi", "capacitor", (control, common)),
                ("cgs", "Cgs", "capacitor", (control, common)),
                ("cmu", "Cmu", "capacitor", (control, output)),
                ("cgd", "Cgd", "capacitor", (control, output)),
            ):
                if key in values:
                    add(f"{symbol}_{name}", law, values[key], *ends)
    return found


def admittance(branch: Branch, s: Any) -> Any:
    """1/R, g, sC or 1/(sL), in siemens; exact for a rational ``s``, in double precision for a complex one."""
    value = branch.value if isinstance(s, Fraction) else float(branch.value)
    match branch.law:
        case "resistor":
            return 1 / value
        case "capacitor":
            return s * value
        case "inductor":
            return 1 / (s * value)
        case _:
            return value


@dataclass
class Equations:
    """A x = b. ``place``: the row of each node, ground excepted."""

    place: dict[str, int]
    matrix: list[list[Any]]
    right: list[Any]


def equations(
    pieces: Sequence[Piece], weigh: Callable[[Branch], Any], inject: Sequence[tuple[str, str, Any]] = (), volts: Any = 0
) -> Equations:
    """The equations with each branch weighing ``weigh(branch)``, currents that enter the first node of each
    ``inject`` and leave its second, and signal voltages of ``volts`` (signal currents are open).
    """
    nodes = dict.fromkeys(node for piece in pieces for node in piece.nodes)
    nodes.pop("gnd", None)
    place = {node: row for row, node in enumerate(nodes)}
    held = [p for p in pieces if p.kind == "opamp" or (p.kind == "signal" and p.variety == "voltage")]
    size = len(place) + len(held)
    matrix: list[list[Any]] = [[0] * size for _ in range(size)]
    right: list[Any] = [0] * size

    def stamp(rows: Edge, columns: Edge, amount: Any) -> None:
        for row, up in zip(rows, (1, -1), strict=True):
            for column, over in zip(columns, (1, -1), strict=True):
                if row in place and column in place:
                    matrix[place[row]][place[column]] += up * over * amount

    for branch in branches(pieces):
        stamp(branch.current, branch.sense, weigh(branch))
    for row, piece in enumerate(held, start=len(place)):
        output, sensed = (
            (piece.nodes, piece.nodes) if piece.kind == "signal" else ((piece.nodes[2], "gnd"), piece.nodes[:2])
        )
        for ends, cells in ((output, lambda at, r=row: (at, r)), (sensed, lambda at, r=row: (r, at))):
            for node, sign in zip(ends, (1, -1), strict=True):
                if node in place:
                    i, j = cells(place[node])
                    matrix[i][j] += sign
        if piece.kind == "signal":
            right[row] += volts
    for plus, minus, amount in inject:
        for node, sign in ((plus, 1), (minus, -1)):
            if node in place:
                right[place[node]] += sign * amount
    return Equations(place, matrix, right)


def voltages_exactly(found: Equations) -> dict[str, Fraction] | None:
    """The node voltages in rational arithmetic; None where the equations have no unique solution."""
    rows = [[Fraction(x) for x in (*row, b)] for row, b in zip(found.matrix, found.right, strict=True)]
    if eliminate(rows) == 0:
        return None
    return {"gnd": Fraction(0), **{node: rows[row][-1] for node, row in found.place.items()}}


def voltages(found: Equations) -> dict[str, complex]:
    """The node voltages in double precision."""
    solution = np.linalg.solve(np.array(found.matrix, dtype=complex), np.array(found.right, dtype=complex))
    return {"gnd": 0j, **{node: complex(solution[row]) for node, row in found.place.items()}}


def determinant(matrix: Sequence[Sequence[Any]]) -> Fraction:
    """The determinant in rational arithmetic."""
    return eliminate([[Fraction(x) for x in row] for row in matrix])


def eliminate(rows: list[list[Fraction]]) -> Fraction:
    """Gauss and Jordan in place; the determinant of the square part (zero: stopped early)."""
    value = Fraction(1)
    for column in range(len(rows)):
        pivot = next((r for r in range(column, len(rows)) if rows[r][column]), None)
        if pivot is None:
            return Fraction(0)
        if pivot != column:
            rows[column], rows[pivot] = rows[pivot], rows[column]
            value = -value
        head = rows[column][column]
        value *= head
        rows[column] = [x / head for x in rows[column]]
        for row in range(len(rows)):
            factor = rows[row][column]
            if row != column and factor:
                rows[row] = [x - factor * y for x, y in zip(rows[row], rows[column], strict=True)]
    return value

"""Whether one term dominates another when the stated ratios depend on each other.

Enters: a matrix of generators (a column each), terms. Leaves: powers that are not negative and add up to at least one.
Must not know: coefficients, numbers of the symbols, the circuit.

The powers are then not unique, and a linear program finds them. Few are needed: most dominations are products of two
or three ratios, which are looked up; and each program without a solution gives a direction h in which every generator
rises by at least one and the difference by less (the lemma of Farkas), which rules out most others at once.
"""

from __future__ import annotations

from itertools import combinations_with_replacement

import numpy as np

CLOSE = 1e-9
MARGIN = 1e-6
BOX = 1e4
MOST_CUTS = 200
MOST_PRODUCTS = 20_000


class Dependent:
    """Dominations among terms that differ by products of the generators; remembers what it has found."""

    def __init__(self, matrix: np.ndarray) -> None:
        self.matrix = matrix
        self.known: dict[bytes, np.ndarray | None] = {}
        height = self._direction(matrix.sum(axis=1))
        self.cuts: list[np.ndarray] = [height if height is not None else np.zeros(len(matrix))]
        self._look_up_products()

    def maximal(self, rows: np.ndarray) -> dict[int, tuple[int, np.ndarray]]:
        """For each row that another dominates, one that stays and dominates it, with the powers."""
        reasons: dict[int, tuple[int, np.ndarray]] = {}
        heights = rows @ np.array(self.cuts).T
        places: list[int] = []
        for low in np.argsort(-heights[:, 0], kind="stable"):
            tried = np.zeros(len(places), dtype=bool)
            while low not in reasons:
                if heights.shape[1] < len(self.cuts):
                    heights = np.hstack([heights, rows @ np.array(self.cuts[heights.shape[1] :]).T])
                open_ = np.all(heights[places] - heights[low] > 1 - MARGIN, axis=1) & ~tried
                if not open_.any():
                    places.append(int(low))
                    break
                index = int(np.argmax(open_))
                tried[index] = True
                powers = self.powers(rows[places[index]] - rows[low])
                if powers is not None:
                    reasons[int(low)] = (places[index], powers)
        return reasons

    def powers(self, difference: np.ndarray) -> np.ndarray | None:
        """Powers that give the difference; None when there are none."""
        key = _key(difference)
        if key not in self.known:
            self.known[key] = self.program(difference)
            if self.known[key] is None and len(self.cuts) < MOST_CUTS:
                cut = self._direction(difference)
                if cut is not None and cut @ difference < 1 - 2 * MARGIN:
                    self.cuts.append(cut)
        return self.known[key]

    def program(self, difference: np.ndarray) -> np.ndarray | None:
        """As ``powers``, by a linear program."""
        from scipy.optimize import linprog  # scipy takes a third of a second and is seldom needed

        count = self.matrix.shape[1]
        result = linprog(
            np.ones(count),
            A_ub=-np.ones((1, count)),
            b_ub=[-1.0],
            A_eq=self.matrix,
            b_eq=difference,
            bounds=(0, None),
            method="highs",
        )
        return result.x if result.status == 0 else None

    def _direction(self, along: np.ndarray) -> np.ndarray | None:
        """Of the directions in which every generator rises by at least one, that in which ``along`` rises least."""
        from scipy.optimize import linprog

        ones = np.ones(self.matrix.shape[1])
        result = linprog(along, A_ub=-self.matrix.T, b_ub=-ones, bounds=(-BOX, BOX), method="highs")
        if result.status != 0:
            return None
        rises = (self.matrix.T @ result.x).min()
        # Rounding must not leave a generator that rises by less than one.
        return result.x / rises if 0 < rises < 1 else result.x

    def _look_up_products(self) -> None:
        """All products of one, two or three ratios, fewest factors first, as far as they are not too many."""
        count = self.matrix.shape[1]
        made = 0
        for factors in (1, 2, 3):
            for chosen in combinations_with_replacement(range(count), factors):
                powers = np.bincount(chosen, minlength=count).astype(float)
                self.known.setdefault(_key(self.matrix @ powers), powers)
                made += 1
                if made >= MOST_PRODUCTS:
                    return


def _key(difference: np.ndarray) -> bytes:
    return np.rint(difference).astype(np.int32).tobytes()

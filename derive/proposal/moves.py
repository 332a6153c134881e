"""What could be stated next: limits of single symbols, and ratios that separate terms of one sum.

Enters: a table of terms, which of them still stand. Leaves: candidate statements with the terms that each would drop.
Must not know: errors, networks beyond the symbols that can go to a limit.

Terms of one sum are spanning trees of one graph, and neighbouring trees differ by an exchange of two elements: so
their quotients are products of few symbols (gm·R, R1/R2, C1/C2), and few of them explain all dropped terms.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np

from derive.proposal.terms import Terms

STRONG = 10.0
"""A ratio is proposed only where it holds by the measure of all stated ratios."""
LONGEST = 5
"""Symbols of a proposed ratio at most, before gm·rpi is read as beta."""
WIDEST = 1_500
"""Terms of one sum that are compared pair by pair: the largest ones."""
PLAIN, EASY = 1.0, 0.5
"""What it costs a reader to take in a symbol of a ratio; a limit counts as two."""

Ends = Mapping[str, tuple[Literal["0", "inf"], ...]]


@dataclass(frozen=True)
class Move:
    """A candidate statement. ``key``: exponents of larger/smaller with s first; for a limit the symbol and its end."""

    key: tuple[int, ...] | tuple[str, str]
    text: str
    burden: float

    @property
    def is_limit(self) -> bool:
        return isinstance(self.key[0], str)


@dataclass(frozen=True)
class Offer:
    """A move with the terms that it would drop by itself (places in the table)."""

    move: Move
    drops: np.ndarray


def limits(table: Terms, kept: np.ndarray, names: tuple[str, ...], ends: Ends) -> list[Offer]:
    """What each limit would drop: terms without the highest power of a symbol, or with more than the lowest."""
    offers = []
    standing = np.flatnonzero(kept)
    for column, name in enumerate(names):
        powers = table.exponents[standing, column]
        if not len(powers) or powers.min() == powers.max():
            continue
        for end in ends.get(name, ()):
            wanted = powers.max() if end == "inf" else powers.min()
            offers.append(Offer(limit_move(name, end, names), standing[powers != wanted]))
    return offers


def limit_move(name: str, end: str, names: tuple[str, ...]) -> Move:
    """``rpi -> inf`` is told as ``beta -> inf``, as it is meant."""
    owner = name.removeprefix("rpi_")
    told = f"beta_{owner}" if owner != name and end == "inf" and f"gm_{owner}" in names else name
    return Move((name, end), f"{told} -> {end}", 2 * PLAIN)


def ratios(table: Terms, kept: np.ndarray, names: tuple[str, ...], reach: tuple[float, float] | None) -> list[Offer]:
    """The quotients of two standing terms that are large and short, with all terms that each drops.

    The terms are of one sum; with ``reach`` (the band in rad/s) of one side, and w counts as a symbol.
    """
    drops: dict[bytes, list[np.ndarray]] = {}
    groups = table.sums if reach is None else table.sides[table.sums]
    for number in np.unique(groups):
        places = np.flatnonzero(kept & (groups == number))
        if len(places) > WIDEST:
            places = np.sort(places[np.argsort(-np.abs(table.sizes[places]), kind="stable")[:WIDEST]])
        if len(places) > 1:
            _compare(table, places, reach or (1.0, 1.0), drops)
    offers = []
    for key in sorted(drops):
        exponents = tuple(int(e) for e in np.frombuffer(key, dtype=np.int16))
        # A term has one partner for each quotient, so that none stands here twice.
        offers.append(Offer(ratio_move(exponents, names), np.concatenate(drops[key])))
    return offers


def _compare(
    table: Terms, places: np.ndarray, reach: tuple[float, float], drops: dict[bytes, list[np.ndarray]]
) -> None:
    rows = table.exponents[places].astype(np.float32)
    length = np.zeros((len(places), len(places)), dtype=np.float32)
    # |u - t| summed over the symbols: for powers 0 and 1 by products, else column by column.
    plain = (rows.min(axis=0) >= 0) & (rows.max(axis=0) <= 1)
    weight = rows[:, plain].sum(axis=1)
    length = weight[:, None] + weight[None, :] - 2 * rows[:, plain] @ rows[:, plain].T
    for column in rows[:, ~plain].T:
        length += np.abs(column[:, None] - column[None, :])
    heights, powers = table.heights[places], table.exponents[places, 0]
    more = powers[:, None] - powers[None, :]
    # Where frequency counts, a ratio is that at the end of the band where it is smallest.
    low, high = np.log10(reach)
    height = heights[:, None] - heights[None, :] + np.where(more > 0, more * low, more * high)
    above, below = np.nonzero((height >= np.log10(STRONG) - 1e-12) & (length <= LONGEST + 0.5))
    differences = table.exponents[places[above]] - table.exponents[places[below]]
    single = np.abs(differences).max(axis=1, initial=0) <= 1
    differences, below = differences[single], places[below[single]]
    if not len(differences):
        return
    _, first, which = np.unique(_codes(differences), return_index=True, return_inverse=True)
    order = np.argsort(which, kind="stable")
    borders = np.flatnonzero(np.diff(which[order])) + 1
    for group, chosen in enumerate(np.split(below[order], borders)):
        key = np.ascontiguousarray(differences[first[group]], dtype=np.int16).tobytes()
        drops.setdefault(key, []).append(chosen)


def _codes(differences: np.ndarray) -> np.ndarray:
    """A number for each row, equal for equal rows only: exponents -1, 0, 1 as digits, in two words."""
    digits = differences.astype(np.int64) + 1
    half = min(digits.shape[1], 39)
    low = digits[:, :half] @ (3 ** np.arange(half, dtype=np.int64))
    rest = digits[:, half : half + 39]
    high = rest @ (3 ** np.arange(rest.shape[1], dtype=np.int64))
    if digits.shape[1] > 78:
        return np.unique(digits, axis=0, return_inverse=True)[1]
    pairs = np.empty(len(digits), dtype=[("low", np.int64), ("high", np.int64)])
    pairs["low"], pairs["high"] = low, high
    return pairs


@lru_cache(maxsize=100_000)
def ratio_move(exponents: tuple[int, ...], names: tuple[str, ...]) -> Move:
    """The statement ``larger >> smaller``, or ``w << …``; gm·rpi on one side is read as beta."""
    larger, smaller = (_read(exponents, names, sign) for sign in (1, -1))
    burden = PLAIN * (len(larger) + len(smaller) + abs(exponents[0]))
    if not exponents[0]:
        return Move(exponents, " >> ".join("*".join(side) or "1" for side in (larger, smaller)), burden)
    # larger/smaller = w·X/Y says w >> Y/X, and X/(w·Y) says w << X/Y.
    above, below = (smaller, larger) if exponents[0] > 0 else (larger, smaller)
    under = "*".join(below)
    quotient = f"/({under})" if len(below) > 1 else f"/{under}" if below else ""
    return Move(exponents, f"w {'>>' if exponents[0] > 0 else '<<'} {'*'.join(above) or '1'}{quotient}", burden)


def _read(exponents: tuple[int, ...], names: tuple[str, ...], sign: int) -> list[str]:
    chosen = {name for name, e in zip(names[1:], exponents[1:], strict=True) if e == sign}
    words = []
    for name in names[1:]:
        owner = name.split("_", 1)[-1]
        pair = {f"gm_{owner}", f"rpi_{owner}"}
        if name in chosen and pair <= chosen:
            chosen -= pair
            words.append(f"beta_{owner}")
        elif name in chosen:
            words.append(name)
    return words

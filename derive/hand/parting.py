"""The limits in which a wrong result and the right one agree and part, which is how one looks for a slip by hand.

Enters: the wrong side and the right one. Leaves: a diagnosis without a repair. Must not know: slips, LaTeX.
"""

from __future__ import annotations

import numpy as np

from derive.algebra.convert import polynomial_tree
from derive.algebra.ratio import Ratio
from derive.answers.records import Exact
from derive.approximate.reduce import spectrum_of_ratio
from derive.expression.tree import Expr, quotient
from derive.forms.present import write
from derive.hand.limits import Going, Limited, limit, symbols_of
from derive.hand.matter import Matter
from derive.hand.reached import Taken, reached, take
from derive.hand.silent import Silent, cheapest
from derive.hand.verdicts import Diagnosis, Disagreement
from derive.hand.worth import Side

MOST_AT_ONCE, MOST_TOLD = 4, 8
CHEAP = 0.05
SHORT = 12
"""Terms of a limit up to which it is written out."""


def parting(side: Side, right: Side, matter: Matter) -> Diagnosis:
    """The limits of each symbol alone, those that agree and those that part; empty where one side has no ratio.

    Where the answer is too long to be written out, its short form under the file's statements stands for it.
    """
    under: tuple[int, ...] = ()
    if right.ratio is None:
        short = [(numbers, reduced.ratio) for numbers, reduced in matter.stated if reduced.ratio is not None]
        if short:
            under, right = short[-1][0], Side(right.ring, right.numbers, known=short[-1][1])
    if side.ratio is None or right.ratio is None:
        return Diagnosis()
    limits = _limits(side.ratio, right, matter)
    if limits:
        return Diagnosis(limits=limits, under=under)
    agree: list[Going] = []
    disagree: list[Disagreement] = []
    for name in dict.fromkeys((*symbols_of(right.ratio), *symbols_of(side.ratio))):
        for going in (Going(name, "0"), Going(name, "inf")):
            ours, theirs = limit(side.ratio, going), limit(right.ratio, going)
            if (ours.kind, ours.ratio) == (theirs.kind, theirs.ratio):
                agree.append(going)
                continue
            shown = _shown(ours, matter), _shown(theirs, matter)
            if shown[0] is not None and shown[1] is not None:
                disagree.append(Disagreement(going, shown[0], shown[1]))
    return Diagnosis(None, tuple(disagree), tuple(agree))


def _limits(hand: Ratio, right: Side, matter: Matter) -> tuple[Silent, ...]:
    """The limits in which the right one is exactly the one by hand, each with its cost; () where there are none."""
    if right.ratio is None or right.spectrum is None or right.ratio.above.is_zero() or hand.above.is_zero():
        return ()
    sets = reached(right.ratio, hand, MOST_AT_ONCE).equal or _with_cheap(hand, right.ratio, right, matter)
    if not sets:
        return ()
    whole = Exact(matter.exact.inquiry, right.ratio.counts, right.ratio, right.spectrum)
    return tuple(sorted(cheapest(whole, sets, matter.ground), key=lambda each: -each.cost.worst))


def _with_cheap(hand: Ratio, ratio: Ratio, right: Side, matter: Matter) -> tuple[Taken, ...]:
    """The limits in which the right one is the one by hand, where those that cost little alone are taken first; without
    those that are not needed."""
    taken: Taken = ()
    whole = ratio
    held = set(symbols_of(hand))
    at_spot = right.sample(np.array([float(matter.ground.spot)]))[0]
    for name in symbols_of(whole):
        for going in (Going(name, "0"), Going(name, "inf")) if name not in held else ():
            alone, next_ = take(whole, (going,)), take(ratio, (going,))
            if alone is None or next_ is None or next_ is ratio:
                continue
            spectrum = spectrum_of_ratio(alone, matter.ground.numbers)
            value = spectrum.sample(np.array([float(matter.ground.spot)]))[0]
            if abs(value - at_spot) <= CHEAP * abs(at_spot):
                taken, ratio = (*taken, going), next_
                break
    for more in reached(ratio, hand, MOST_AT_ONCE - 1).equal:
        kept = (*taken, *more)
        for going in kept:
            fewer = tuple(each for each in kept if each != going)
            kept = fewer if take(whole, fewer) == hand else kept
        if len(kept) <= MOST_TOLD and take(whole, kept) == hand == take(whole, kept[::-1]):
            return (kept,)
    return ()


def _shown(reached: Limited, matter: Matter) -> Expr | None:
    """What a limit comes to as a tree or a word; None where it is too long to read."""
    if reached.ratio is None or reached.ratio.above.is_zero():
        return "zero" if reached.kind != "infinite" else "infinite"  # type: ignore[return-value]
    if sum(reached.ratio.counts) > SHORT:
        return None
    return write(matter.style, reached.ratio) or _plain(reached.ratio)


def _plain(ratio: Ratio) -> Expr:
    return quotient(polynomial_tree(ratio.ring, ratio.above), polynomial_tree(ratio.ring, ratio.below))

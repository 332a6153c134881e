"""The limits in which a wrong result and the right one agree and part, which is how one looks for a slip by hand.

Enters: the wrong side and the right one. Leaves: a diagnosis without a repair. Must not know: slips, LaTeX.
"""

from __future__ import annotations

from derive.algebra.convert import polynomial_tree
from derive.algebra.ratio import Ratio
from derive.expression.tree import Expr, quotient
from derive.forms.present import write
from derive.hand.limits import Going, Limited, limit, symbols_of
from derive.hand.matter import Matter
from derive.hand.verdicts import Diagnosis, Disagreement
from derive.hand.worth import Side

SHORT = 12
"""Terms of a limit up to which it is written out."""


def parting(side: Side, right: Side, matter: Matter) -> Diagnosis:
    """The limits of each symbol alone, those that agree and those that part; empty where one side has no ratio.

    Where the answer is too long to be written out, its short form under the file's statements stands for it.
    """
    if right.ratio is None:
        short = [reduced.ratio for _, reduced in matter.stated if reduced.ratio is not None]
        right = Side(right.ring, right.numbers, known=short[-1]) if short else right
    if side.ratio is None or right.ratio is None:
        return Diagnosis()
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


def _shown(reached: Limited, matter: Matter) -> Expr | None:
    """What a limit comes to as a tree or a word; None where it is too long to read."""
    if reached.ratio is None or reached.ratio.above.is_zero():
        return "zero" if reached.kind != "infinite" else "infinite"  # type: ignore[return-value]
    if sum(reached.ratio.counts) > SHORT:
        return None
    return write(matter.style, reached.ratio) or _plain(reached.ratio)


def _plain(ratio: Ratio) -> Expr:
    return quotient(polynomial_tree(ratio.ring, ratio.above), polynomial_tree(ratio.ring, ratio.below))

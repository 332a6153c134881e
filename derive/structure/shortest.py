"""The short form of an answer: the shortest whose worst error over the band stays within what is asked.

Enters: an inquiry with its exact answer, stated ratios, the error that is asked for. Leaves: the form, its frontier.
Must not know: words, LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

import numpy as np

from derive.algebra.ring import evaluate
from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, answer, diagrams
from derive.answers.exact import spectrum as spectrum_at
from derive.answers.records import Exact, Inquiry
from derive.approximate.cone import Cone
from derive.approximate.error import measure
from derive.approximate.records import Resolved
from derive.approximate.reduce import Ground, under_limits
from derive.errors import Defect, TooLarge
from derive.forms.laurent import Style
from derive.forms.trial import points as trial_points
from derive.structure.aim import Aim
from derive.structure.equality import near
from derive.structure.nested import Nested, nested
from derive.structure.records import Candidate, Short, Written
from derive.structure.search import WHOLE, Grid, candidates, frontier, points
from derive.structure.shares import admittances, both_sides, shares
from derive.structure.subexpressions import subexpressions
from derive.structure.units import with_betas
from derive.structure.write import ONE_LINE, written

DEFAULT = Fraction(1, 20)
"""The error that a short form may have in the band where the author asks for none."""
TRIED = 8
"""Forms of the frontier that are written out on each side of the error that is asked for."""
SAVED = 0.35
"""How much of its symbols' cost a form can keep at least when it is well written: a longer form is not tried."""
PRINTED = 6
"""Numbers of subexpressions that are told at most."""
ROOM = Fraction(9, 10)
"""How much of the error the author's own limits may take up, so that a form can start from them."""


def shortest(
    exact: Exact,
    statements: Sequence[Resolved],
    ground: Ground,
    style: Style,
    within: Fraction = DEFAULT,
    grid: Grid = WHOLE,
) -> Short | None:
    """The form, or the best that can be read where none stays within; None where nothing can be read.

    Where nothing can be read at the error that is asked for, a form is looked for at larger ones up to the usual.
    """
    if not any(exact.spectrum.numerator):
        return None
    for error in (within, *(e for e in (2 * within, 3 * within, 4 * within, DEFAULT) if within < e <= DEFAULT)):
        best = _shortest(exact, statements, ground, style, error, grid)
        if best is not None:
            break
    if best is None or error == within:
        return best
    measured = measure(best.spectrum, exact.spectrum, ground.band, ground.spot, within=float(within))
    return replace(best, within=within, error=measured)


def _shortest(
    exact: Exact, statements: Sequence[Resolved], ground: Ground, style: Style, within: Fraction, grid: Grid
) -> Short | None:
    cone = Cone(tuple(g for s in statements for g in s.generators))
    aim = Aim.of(exact.spectrum, ground, cone, within)
    inquiry, begun = _start(exact, statements, aim)
    found = candidates(inquiry, aim, grid)
    if cone.generators:
        # Statements may cost more than is asked for; then size alone decides.
        found += candidates(inquiry, replace(aim, cone=Cone(())), grid)
    best = _best_product(found, aim, style)
    if best is None or best.error.worst > within or best.written.cost > ONE_LINE:
        best = _better([best, *(_of_nested(n, aim) for n in nested(inquiry, aim, style))], within)
    if best is None:
        return None
    trees = [best.written.tree, *(piece.tree for piece in best.written.pieces)]
    parts = subexpressions(style, trees, ground.numbers, PRINTED)
    best = replace(best, frontier=points(found, aim))
    same = best.candidate is not None and _is_exact(exact, best.candidate, ground)
    return replace(best, subexpressions=parts, exact=same, begun=begun)


def _start(exact: Exact, statements: Sequence[Resolved], aim: Aim) -> tuple[Inquiry, tuple[int, ...]]:
    """The inquiry under the stated limits, with their numbers, where these alone leave room for more, else as it was
    asked.
    """
    limits = [s.limit for s in statements if s.limit is not None]
    if not limits:
        return exact.inquiry, ()
    limited = under_limits(exact.inquiry, limits)
    try:
        found = answer(limited, aim.ground.numbers, aim.ground.ring)
    except (NoSolution, TooLarge):
        return exact.inquiry, ()
    if aim.roughly(found.spectrum) > ROOM * aim.within:
        return exact.inquiry, ()
    return limited, tuple(s.number for s in statements if s.limit is not None)


def _best_product(found: Sequence[Candidate], aim: Aim, style: Style) -> Short | None:
    """Of the forms on the frontier the cheapest to read that stays within, else the one with the least error."""
    line = frontier(found)
    inside = [c for c in line if c.worst <= aim.within]
    made: list[Short] = []
    for candidate in inside[:TRIED]:
        if made and SAVED * candidate.symbols > min(short.written.cost for short in made):
            break
        words = written(style, candidate.factored, aim.ground.numbers)
        if words is not None:
            made.append(_short(words, candidate.spectrum, candidate, aim))
    chosen = _better(made, aim.within)
    if chosen is not None and chosen.reached:
        return chosen
    for candidate in [c for c in reversed(line) if c.worst > aim.within][:TRIED]:
        words = written(style, candidate.factored, aim.ground.numbers)
        if words is not None:
            return _short(words, candidate.spectrum, candidate, aim)
    return chosen


def _short(words: Written, spectrum: Spectrum, candidate: Candidate | None, aim: Aim) -> Short:
    ground = aim.ground
    error = measure(spectrum, aim.exact, ground.band, ground.spot, within=float(aim.within))
    _require_spectrum(words, spectrum, ground)
    return Short(words, spectrum, error, aim.within, candidate, ())


def _of_nested(found: Nested, aim: Aim) -> Short:
    made = _short(found.written, found.spectrum, None, aim)
    return replace(made, branches=found.branches, left_out=found.left_out)


def _better(found: Sequence[Short | None], within: Fraction) -> Short | None:
    """The cheapest to read of those that stay within; else the one with the smallest error."""
    known = [short for short in found if short is not None]
    inside = [short for short in known if short.error.worst <= within]
    if inside:
        return min(inside, key=lambda s: (round(s.written.cost, 6), s.error.worst))
    return min(known, key=lambda s: s.error.worst, default=None)


def _require_spectrum(words: Written, spectrum: Spectrum, ground: Ground) -> None:
    """Raises Defect unless the printed form, at the circuit's numbers, has the spectrum whose error was measured."""
    source = Random(7)
    for _ in range(3):
        s = Fraction(source.randrange(10**3, 10**6), source.randrange(1, 1000))
        point = {**with_betas(ground.numbers), "s": s}
        if not near(words, point, spectrum.exactly_at(s)):
            raise Defect("a short form has not the spectrum whose error was measured")


def _is_exact(exact: Exact, candidate: Candidate, ground: Ground) -> bool:
    """Whether the form is the exact answer itself: nothing left out, and equal at random exact points."""
    if candidate.spectrum != exact.spectrum:
        return False
    for point in trial_points(ground.ring.names):
        value = candidate.factored.scale
        for factor, power in candidate.factored.factors:
            value *= evaluate(factor, ground.ring.values(point, point["s"])) ** power
        if value != spectrum_at(exact.inquiry, point).exactly_at(point["s"]):
            return False
    return True


def membership_range(exact: Exact, ground: Ground) -> tuple[float, float] | None:
    """The least and the greatest real part of the memberships in the denominator at the spot; None where it vanishes.

    Outside 0 to 1, terms of opposite signs nearly cancel.
    """
    frequency = float(ground.spot) or float(ground.band[0])
    _, below = both_sides(exact.inquiry)
    found = shares(below, admittances(below.elements, ground.numbers, (frequency,)))
    if found is None or diagrams(exact.inquiry)[1].root == 0:
        return None
    real = np.real(found.membership[0])
    return float(np.min(real)), float(np.max(real))

"""Elimination shown line by line, for up to three unknown voltages.

Enters: Kirchhoff's equations with their coefficients. Leaves: steps, each checked; () where it would not read.
Must not know: LaTeX. Beyond three unknowns the structured forms (chain, budget) say more than elimination.
"""

from __future__ import annotations

from derive.algebra.ratio import Ratio, lowest_terms
from derive.derivation.checks import equal, remark
from derive.derivation.kirchhoff import Equation, per_unit
from derive.derivation.records import Step
from derive.derivation.solution import PORT_CURRENT, Solution
from derive.errors import Defect
from derive.expression.tree import ZERO, Expr, Quotient, Sum, Volt, is_negative, negate, product, total
from derive.forms.laurent import Style
from derive.forms.present import write
from derive.words import Formula, Line, Reading, Words

MOST_UNKNOWNS = 3
SHORT = 26.0
"""Cost above which a coefficient makes the elimination unreadable."""
Linear = dict[Expr, Ratio]


class TooLong(Exception):
    """A coefficient is too long to read."""


def eliminate(solution: Solution, found: tuple[Equation, ...], style: Style, target: Expr) -> tuple[Step, ...]:
    """The steps from the equations to the target voltage in terms of the excitation."""
    excitation = _excitation(solution)
    unknowns = {u for e in found for u in e.coefficients} - {excitation}
    solvable = 1 <= len(unknowns) <= MOST_UNKNOWNS and len(found) == len(unknowns)
    if excitation is None or target not in unknowns or not solvable:
        return ()
    rest = [(e.where, dict(e.coefficients)) for e in found]
    made: list[Step] = []
    try:
        while len(rest) > 1:
            place, unknown = _cheapest(rest, target, excitation)
            where, equation = rest.pop(place)
            value = _solve(equation, unknown)
            made.append(_solved(solution, style, unknown, value, where))
            for index, (other_where, other) in enumerate(rest):
                if unknown in other:
                    after = _substituted(other, unknown, value)
                    rest[index] = (other_where, after)
                    made.append(_gathered(solution, style, other_where, unknown, after))
        where, last = rest[0]
        value = _solve(last, target)
        made.append(_solved(solution, style, target, value, where))
    except TooLong:
        # What can be read is shown; a coefficient of dozens of terms would hide it.
        start = "from here on" if made else "left out:"
        made.append(remark((f"{start} a coefficient is too long to read; the structure below says more",)))
    return tuple(made)


def _excitation(solution: Solution) -> Expr | None:
    if solution.inquiry.excitation == "current":
        return PORT_CURRENT
    if solution.inquiry.port[1] == solution.inquiry.network.ground:
        return Volt(solution.node(solution.inquiry.port[0]))
    return None


def _cheapest(rest: list[tuple[Words, Linear]], target: Expr, excitation: Expr) -> tuple[int, Expr]:
    """The equation and unknown whose solution has the fewest and shortest terms; the target stays to the end."""
    options = []
    for place, (_, equation) in enumerate(rest):
        for unknown, coefficient in equation.items():
            if unknown not in (target, excitation):
                length = sum(sum(r.counts) for r in equation.values())
                options.append((len(equation), length, sum(coefficient.counts), place, unknown))
    if not options:
        raise Defect("elimination found no unknown left to remove")
    best = min(options, key=lambda o: o[:4])
    return best[3], best[4]


def _solve(equation: Linear, unknown: Expr) -> Linear:
    """The unknown as a combination of the others."""
    own = equation[unknown]
    return {
        other: lowest_terms(r.ring, -r.above * own.below, r.below * own.above)
        for other, r in equation.items()
        if other != unknown
    }


def _substituted(equation: Linear, unknown: Expr, value: Linear) -> Linear:
    factor = equation[unknown]
    result = {other: r for other, r in equation.items() if other != unknown}
    for other, r in value.items():
        above, below = factor.above * r.above, factor.below * r.below
        if other in result:
            old = result[other]
            above, below = above * old.below + old.above * below, below * old.below
        result[other] = lowest_terms(r.ring, above, below)
    return {other: r for other, r in result.items() if not r.above.is_zero()}


def _solved(solution: Solution, style: Style, unknown: Expr, value: Linear, where: Words) -> Step:
    assert isinstance(unknown, Volt)
    unit = "V/V" if solution.inquiry.excitation == "voltage" else "Ω"
    reading = Reading(solution.spots[unknown.node], unit, style="magnitude")
    number: Words = (*per_unit(solution, unknown.node), " = ", reading)
    line = Line(unknown, "=", _combination(style, value))
    return equal(("from ", *where), (line,), number, solution.trials)


def _gathered(solution: Solution, style: Style, where: Words, unknown: Expr, equation: Linear) -> Step:
    rule: Words = ("put ", Formula(unknown), " into ", *where, ", gathered")
    known: Linear = {u: r for u, r in equation.items() if u == PORT_CURRENT}
    line = Line(
        _combination(style, {u: r for u, r in equation.items() if u not in known}),
        "=",
        negate(_combination(style, known)) if known else ZERO,
    )
    return equal(rule, (line,), (), solution.trials)


def _combination(style: Style, value: Linear) -> Expr:
    """Σ coefficient · unknown; equal and opposite coefficients share a bracket with the difference."""
    trees: list[tuple[Expr, Expr]] = []
    for unknown, ratio in value.items():
        tree = write(style, ratio, SHORT)
        if tree is None:
            raise TooLong
        trees.append((unknown, tree))
    parts: list[Expr] = []
    used: set[int] = set()
    for i, (unknown, tree) in enumerate(trees):
        if i in used:
            continue
        opposite = Ratio(style.ring, -value[unknown].above, value[unknown].below)
        later = (j for j in range(i + 1, len(trees)) if j not in used and value[trees[j][0]] == opposite)
        partner = next(later, None)
        if partner is None:
            parts.append(_scaled(tree, unknown))
            continue
        used.add(partner)
        first, second = unknown, trees[partner][0]
        if is_negative(tree):
            tree, first, second = trees[partner][1], second, first
        parts.append(_scaled(tree, total(first, negate(second))))
    parts.sort(key=is_negative)
    return total(*parts)


def _scaled(tree: Expr, unknown: Expr) -> Expr:
    """A coefficient times an unknown: v/R rather than (1/R) v, the minus sign in front."""
    if is_negative(tree):
        return negate(_scaled(negate(tree), unknown))
    if isinstance(tree, Sum) and all(is_negative(t) for t in tree.terms):
        return negate(_scaled(Sum(tuple(negate(t) for t in tree.terms)), unknown))
    if isinstance(tree, Quotient):
        return Quotient(product(tree.above, unknown), tree.below)
    return product(tree, unknown)

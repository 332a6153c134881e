"""The closing line of a return ratio, and the sense of its feedback.

Enters: the solution of a return ratio's inquiry. Leaves: a checked step, and words. Must not know: LaTeX.
"""

from __future__ import annotations

from derive.answers.exact import spectrum
from derive.answers.records import Exact
from derive.derivation.checks import equal
from derive.derivation.records import Step
from derive.derivation.solution import Solution
from derive.expression.tree import ONE, Call, Expr, Name, Quotient, Sym, negate, product, total
from derive.words import Formula, Inline, Line, Reading, Words

INDIFFERENT = 1e-6
"""How near to one |1 + T| must lie for the loop to count as none."""


def closing_step(solution: Solution, name: Name, exact: Exact) -> tuple[Step, ...]:
    """T = g v_control/i, or v_control/v_t around an op amp; checked at exact points. Nothing for other questions."""
    inquiry = solution.inquiry
    if inquiry.unit != "1":
        return ()
    first, second = (solution.volt(node) for node in inquiry.above)
    parts: list[Expr] = [first] if first is not None else []
    if second is not None:
        parts.append(negate(second))
    if not parts:
        return ()
    weight = Sym(inquiry.factor) if inquiry.factor else ONE
    line = Line(name, "=", Quotient(product(weight, total(*parts)), solution.drive))
    trials = [{**trial, name: spectrum(inquiry, trial).exactly_at(trial["s"])} for trial in solution.trials]
    reading = Reading(exact.spectrum.at_frequency(solution.spot), "1", style="magnitude")
    return (equal(("what comes back",), (line,), (reading,), trials),)


def sense_words(name: Name, source: Inline, value: complex, spot: float) -> Words:
    """Whether the loop around a source reduces or raises at the spot, by |1 + T|."""
    size = abs(1 + value)
    amount: Words = ("At ", Reading(spot, "Hz", 6, "stated"), ", ", Formula(Call("abs", total(ONE, name))), " = ")
    amount = (*amount, Reading(size, "1"))
    if abs(size - 1) < INDIFFERENT:
        return (*amount, ": this source lies in no loop that matters.")
    around: Words = ("the feedback around ", source, " is ")
    if size > 1:
        return (*amount, ", above one: ", *around, "negative, and weakens the effect of a change of it so much.")
    return (*amount, ", below one: ", *around, "positive, and strengthens the effect of a change of it.")

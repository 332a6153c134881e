"""An impedance by its feedback: Z = Z_0 (1 + T_sc)/(1 + T_oc).

Enters: an impedance's question, its exact answer, a source. Leaves: a record with its pieces and checked steps.
Must not know: LaTeX, pages.

With (N0 + w N1)/(D0 + w D1): Z_0 = N0/D0 is the impedance with the source dead, T_sc = w N1/N0 its return ratio with
the port shorted, T_oc = w D1/D0 with the port open (R. B. Blackman, "Effect of feedback on impedance", Bell System
Technical Journal 22 (1943) 269; from memory). Where Z_0 is infinite (D0 = 0) or zero (N0 = 0) there is no such product:
the impedance is then taken by the budget of its port.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.answers.exact import NoSolution, diagrams
from derive.answers.records import Exact
from derive.derivation.budget import budget
from derive.derivation.records import Budget, Step
from derive.derivation.solution import Solution
from derive.explain.asymptotic import names_for, source_words
from derive.explain.derived import Bench, Derived, combined
from derive.explain.spectra import UNIT, over, plus, require_same, times
from derive.explain.splits import deleted, return_ratio_at
from derive.expression.tree import ONE, Name, Product, Quotient, total
from derive.network.records import Element
from derive.words import Line, Reading, Words


@dataclass(frozen=True)
class Blackman:
    """``dead``: Z_0; ``shorted``: T_sc; ``opened``: T_oc; ``factor``: (1 + T_sc)/(1 + T_oc) at the spot."""

    question: str
    loop: str
    chosen: bool
    dead: Derived
    shorted: Derived
    opened: Derived
    factor: complex
    combination: Step


@dataclass(frozen=True)
class NoProduct:
    """Why Blackman's formula does not apply to an impedance: without the source it is infinite or zero.

    ``budget``: of the port, where its first node moves alone (its shares add to one, checked); else None.
    """

    question: str
    loop: str
    chosen: bool
    dead: Literal["infinite", "zero"]
    budget: Budget | None


def blackman(name: str, exact: Exact, element: Element, chosen: bool, bench: Bench) -> Blackman | NoProduct | None:
    """The impedance around a source; None where the source moves nothing."""
    inquiry = exact.inquiry
    without = deleted(inquiry, element)
    above, below = diagrams(without)
    if below.root == 0 or above.root == 0:
        ground = bench.prepared.ground
        found = budget(Solution(inquiry, ground.numbers, ground.ring, ground.spot), bench.prepared.style)
        return NoProduct(name, element.name, chosen, "infinite" if below.root == 0 else "zero", found)
    source = source_words(element)
    tags = names_for(name)
    try:
        dead = bench.piece(tags["0"], ("impedance with ", source, " dead"), without, "d")
        shorted = bench.piece(
            tags["sc"], ("return ratio of ", source, " with the port shorted"),
            return_ratio_at(inquiry, element, "nulled", "T"), "s",
        )  # fmt: skip
        opened = bench.piece(
            tags["oc"], ("return ratio of ", source, " with the port open"),
            return_ratio_at(inquiry, element, "zeroed", "T"), "o",
        )  # fmt: skip
    except NoSolution:
        return None
    if shorted.exact.spectrum == opened.exact.spectrum:
        return None
    factor = over(plus(UNIT, shorted.exact.spectrum), plus(UNIT, opened.exact.spectrum))
    require_same(times(dead.exact.spectrum, factor), exact.spectrum, f"Blackman's formula for {name}")
    spot = bench.prepared.ground.spot
    whole = Derived(Name(name), exact, exact.spectrum.at_frequency(spot), None, 0.0, ())
    bracket = Quotient(total(ONE, shorted.name), total(ONE, opened.name))
    step = combined(
        ("the three together",),
        (Line(whole.name, "=", Product((dead.name, bracket))),),
        (Reading(whole.spot, "Ω", style="magnitude"),),
        (whole, dead, shorted, opened),
        bench,
        _note(factor.at_frequency(spot)),
    )
    return Blackman(name, element.name, chosen, dead, shorted, opened, factor.at_frequency(spot), step)


def _note(factor: complex) -> Words:
    return ("the loop multiplies the impedance by ", Reading(factor, "1", style="magnitude"), "; equal to the nodal "
            "answer as polynomials in s")  # fmt: skip

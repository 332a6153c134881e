"""A gain by its feedback: A = A_inf T/(1 + T) + A_0/(1 + T).

Enters: a gain's question, inquiry and source. Leaves: a record with its pieces and checked steps.
Must not know: LaTeX, pages.

With (N0 + w N1)/(D0 + w D1): A_inf = N1/D1 (the source made infinite: contracted), A_0 = N0/D0 (the source dead:
the feedthrough), T = w D1/D0 (S. Rosenstark, "A simplified method of feedback amplifier analysis", IEEE Trans.
Education 17 (1974) 192; from memory). The combination is compared with the nodal answer as polynomials in s.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from derive.answers.exact import NoSolution
from derive.answers.inquire import inquire
from derive.answers.records import Exact, Inquiry
from derive.circuit.records import ReturnRatio
from derive.derivation.records import Step
from derive.explain.derived import Bench, Derived, combined
from derive.explain.spectra import UNIT, over, plus, require_same, times
from derive.explain.splits import contracted, deleted, return_ratio_at
from derive.expression.tree import ONE, Expr, Name, Product, Quotient, Sym, total
from derive.network.records import Element
from derive.words import Formula, Inline, Line, Node, Reading, Words

COUNTS = 0.01
"""The part of the gain from which the feedthrough is worth a search for a short form."""


@dataclass(frozen=True)
class Asymptotic:
    """``loop``: the controlled source (its name); ``chosen``: by the author. ``ideal``: A_inf, ``dead``: A_0,
    ``ratio``: T. ``by_loop`` and ``by_dead``: the two terms of the sum at the spot; they add to the gain.
    ``combination``: the formula, checked equal to the answer.
    """

    question: str
    loop: str
    chosen: bool
    ideal: Derived
    dead: Derived
    ratio: Derived
    by_loop: complex
    by_dead: complex
    combination: Step


def asymptotic(name: str, exact: Exact, element: Element, chosen: bool, bench: Bench) -> Asymptotic | None:
    """The gain around a source; None where the source closes no loop (T = 0), or its dead network has no solution."""
    inquiry = exact.inquiry
    source = source_words(element)
    tags = names_for(name)
    try:
        around = return_ratio_at(inquiry, element, "zeroed", "T")
        ratio = bench.piece(
            _asked_name(around, element, bench) or tags["T"], ("return ratio of ", source, *_zeroed(exact)), around
        )
        if not any(ratio.exact.spectrum.numerator):
            return None
        ideal = bench.piece(tags["inf"], ("with ", source, " without limit"), contracted(inquiry, element), "i")
        without = bench.exact(deleted(inquiry, element))
    except NoSolution:
        return None
    closed = plus(UNIT, ratio.exact.spectrum)
    spot = bench.prepared.ground.spot
    fed = over(without.spectrum, closed)
    # A feedthrough that hardly counts is worth no search for a short form.
    counts = abs(fed.at_frequency(spot)) >= COUNTS * abs(exact.spectrum.at_frequency(spot))
    brief = bench if counts else replace(bench, thorough=False)
    dead = brief.of_exact(tags["0"], ("with ", source, " dead: the feedthrough"), without, "d")
    looped = over(times(ideal.exact.spectrum, ratio.exact.spectrum), closed)
    require_same(plus(looped, fed), exact.spectrum, f"the asymptotic gain formula of {name}")
    whole = Derived(Name(name), exact, exact.spectrum.at_frequency(spot), None, 0.0, ())
    one_more = total(ONE, ratio.name)
    first: Expr = Quotient(Product((ideal.name, ratio.name)), one_more)
    line = Line(whole.name, "=", total(first, Quotient(dead.name, one_more)))
    terms = looped.at_frequency(spot), fed.at_frequency(spot)
    number: Words = (Reading(whole.spot, exact.inquiry.unit, style="magnitude"),)
    note: Words = (
        "the loop's term ", Reading(terms[0], exact.inquiry.unit, style="magnitude"),
        ", the feedthrough's ", Reading(terms[1], exact.inquiry.unit, style="magnitude"),
        "; equal to the nodal answer as polynomials in ", Formula(Sym("s")),
    )  # fmt: skip
    step = combined(("both together",), (line,), number, (whole, ideal, dead, ratio), bench, note)
    return Asymptotic(name, element.name, chosen, ideal, dead, ratio, *terms, step)


def _asked_name(around: Inquiry, element: Element, bench: Bench) -> Name | None:
    """The name of a question that asks for this very return ratio, so that one quantity has one name."""
    for question in bench.prepared.circuit.questions:
        if isinstance(question.ask, ReturnRatio) and question.ask.of == element.name:
            same = bench.exact(inquire(question, bench.prepared.network)).spectrum == bench.exact(around).spectrum
            return Name(question.name) if same else None
    return None


def source_words(element: Element) -> Inline:
    """A controlled source: by its symbol, an op amp by its name."""
    return Formula(Sym(element.symbol)) if element.symbol else Node(element.owner)


def names_for(question: str) -> dict[str, Name]:
    """The names of the pieces; ``_dead`` where ``_0`` is how coefficients are named."""
    none = f"{question}_dead" if question in ("H", "K") else f"{question}_0"
    return {
        "T": Name(f"T_{question}"),
        "inf": Name(f"{question}_inf"),
        "0": Name(none),
        "oc": Name(f"T_oc_{question}"),
        "sc": Name(f"T_sc_{question}"),
    }


def _zeroed(exact: Exact) -> Words:
    if exact.inquiry.below is not None:
        return (", with ", Node(exact.inquiry.below[0]), " held at zero by the signal")
    return (", signal zeroed",)

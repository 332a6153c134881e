"""One part taken out of an answer: the extra element theorem.

Enters: a question's exact answer, a two-terminal element. Leaves: a record with its pieces and checked steps.
Must not know: LaTeX, pages.

With Z the element's impedance, Z_d the impedance that it sees with the signal zeroed, Z_n that with the output nulled
by the signal,

    H = H_open (1 + Z_n/Z)/(1 + Z_d/Z) = H_short (1 + Z/Z_n)/(1 + Z/Z_d)

(R. D. Middlebrook, IEEE Trans. Education 32 (1989) 167; from memory). The first form is taken where H_open is finite
and not zero, else the second.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.algebra.spectrum import Spectrum
from derive.answers.exact import NoSolution, diagrams
from derive.answers.records import Exact, Inquiry
from derive.approximate.reduce import Ground
from derive.derivation.records import Step
from derive.explain.derived import Bench, Derived, combined
from derive.explain.spectra import INVERSE_S, PURE_S, UNIT, constant, over, plus, require_same, times
from derive.explain.splits import Side, contracted, deleted, seen_by
from derive.expression.tree import ONE, Expr, Name, Quotient, S, Sym, product, quotient, total
from derive.network.records import Element
from derive.words import Formula, Line, Reading, Words


@dataclass(frozen=True)
class Extra:
    """``reference``: what the part is in the reference, open or a short; ``without``: the answer then; ``driving``:
    Z_d; ``nulled``: Z_n, each None where it is infinite (its correction is then none: the part shorted is the
    reference). ``factor``: by how much the part multiplies the answer at the spot.
    """

    question: str
    part: str
    reference: Literal["open", "short"]
    without: Derived
    driving: Derived | None
    nulled: Derived | None
    factor: complex
    combination: Step


def impedance_of(element: Element, ground: Ground) -> Spectrum:
    """Z(s) of a two-terminal element, exact at the circuit's numbers."""
    value = constant(ground.numbers[element.name])
    match element.law:
        case "capacitance":
            return over(INVERSE_S, value)
        case "inductance":
            return times(PURE_S, value)
        case "conductance":
            return over(UNIT, value)
        case _:
            return value


def impedance_tree(element: Element) -> Expr:
    """Z as algebra."""
    match element.law:
        case "capacitance":
            return Quotient(ONE, product(S, Sym(element.name)))
        case "inductance":
            return product(S, Sym(element.name))
        case "conductance":
            return Quotient(ONE, Sym(element.name))
        case _:
            return Sym(element.name)


def extra(name: str, exact: Exact, element: Element, bench: Bench) -> Extra | None:
    """The answer around a part; None where neither reference gives a finite answer other than zero."""
    inquiry, ground = exact.inquiry, bench.prepared.ground
    reference = _reference(inquiry, element)
    if reference is None:
        return None
    symbol = Formula(Sym(element.name))
    without = deleted(inquiry, element) if reference == "open" else contracted(inquiry, element)
    how: Words = ("with ", symbol, " open" if reference == "open" else " as a short")
    try:
        base = bench.piece(Name(f"{name}_{reference}"), how, without, "r")
    except NoSolution:
        return None
    driving = _seen("zeroed", ("impedance that ", symbol, " sees, signal zeroed"), inquiry, element, bench)
    nulled = _seen(
        "nulled", ("impedance that ", symbol, " sees, the answer nulled by the signal"), inquiry, element, bench
    )
    factor = over(*(_one_plus(reference, piece, element, ground) for piece in (nulled, driving)))
    require_same(times(base.exact.spectrum, factor), exact.spectrum, f"the extra element theorem for {name}")
    whole = Derived(Name(name), exact, exact.spectrum.at_frequency(ground.spot), None, 0.0, ())
    sums = [ONE if p is None else total(ONE, _correction(reference, p.name, element)) for p in (nulled, driving)]
    line = Line(whole.name, "=", product(base.name, quotient(*sums)))
    number: Words = (Reading(whole.spot, exact.inquiry.unit, style="magnitude"),)
    at_spot = factor.at_frequency(ground.spot)
    note: Words = ("the part multiplies the answer by ", Reading(at_spot, "1", style="magnitude"))
    note = (*note, "; equal to the nodal answer as polynomials in ", Formula(S))
    pieces = [whole, base, *(p for p in (driving, nulled) if p is not None)]
    step = combined(("the part put back",), (line,), number, pieces, bench, note)
    return Extra(name, element.name, reference, base, driving, nulled, at_spot, step)


def _seen(side: Side, rule: Words, inquiry: Inquiry, element: Element, bench: Bench) -> Derived | None:
    """Z_d or Z_n; None where it is infinite."""
    letter = "d" if side == "zeroed" else "n"
    try:
        return bench.piece(Name(f"Z_{letter}_{element.name}"), rule, seen_by(inquiry, element, side, "Z"), letter)
    except NoSolution:
        return None


def _reference(inquiry: Inquiry, element: Element) -> Literal["open", "short"] | None:
    """Open where the answer without the part is finite and not zero; else short where that is."""
    if all(side.root for side in diagrams(deleted(inquiry, element))):
        return "open"
    try:
        return "short" if all(side.root for side in diagrams(contracted(inquiry, element))) else None
    except NoSolution:
        return None


def _one_plus(reference: str, piece: Derived | None, element: Element, ground: Ground) -> Spectrum:
    if piece is None:
        return UNIT
    own, seen = impedance_of(element, ground), piece.exact.spectrum
    return plus(UNIT, over(seen, own) if reference == "open" else over(own, seen))


def _correction(reference: str, seen: Name, element: Element) -> Expr:
    """Z_x/Z in the open form (s C Z_x for a capacitor), Z/Z_x in the other."""
    own = impedance_tree(element)
    if reference == "short":
        if isinstance(own, Quotient):
            return Quotient(own.above, product(own.below, seen))
        return Quotient(own, seen)
    if isinstance(own, Quotient):
        return product(own.below, seen)
    return Quotient(seen, own)

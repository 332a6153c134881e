"""The dominant term of the second harmonic as algebra: what it is made of, and as one form where that can be read.

Enters: the inquiry from the signal to the output, the dominant nonlinearity with the numbers of its symbols. Leaves:
checked steps. Must not know: LaTeX, pages.

HD2 = A/2 · |c2 · h_a · h_b · Z / H|, with h from the signal to the controls and H to the output at f, Z from the
nonlinear current to the output at 2f; for a charge times 2w.
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import replace
from fractions import Fraction
from math import pi
from typing import Literal

from derive.algebra.convert import ratio_of
from derive.algebra.ratio import Ratio, lowest_terms
from derive.algebra.ring import Ring
from derive.answers.exact import answer
from derive.answers.records import Exact, Inquiry
from derive.approximate.reduce import Ground
from derive.circuit.records import Distortion
from derive.derivation.analyse import Prepared
from derive.derivation.checks import approximate, remark
from derive.derivation.records import Step
from derive.derivation.transfers import transfer_steps
from derive.derivation.wording import percent
from derive.distortion.records import Share, Term
from derive.distortion.transfers import injected, to_control
from derive.errors import Defect, ExpressionError
from derive.expression.tree import (
    MINUS_ONE,
    ONE,
    Call,
    Expr,
    Name,
    Num,
    Power,
    Product,
    Quotient,
    Sym,
    evaluate,
    product,
    quotient,
    symbols,
    walk,
)
from derive.forms.present import write
from derive.forms.substitution import in_one_piece
from derive.structure.records import Short
from derive.structure.shortest import DEFAULT, shortest
from derive.words import Formula, Line, Reading, Words

AMPLITUDE, TRANSFER, REACH = Name("A_s"), Name("H_s"), Name("Z_2")
SECOND = {"current": Name("g_2"), "charge": Name("q_2")}
Kind = Literal["current", "charge"]
CHECKED = "equal to the harmonic by the nodal equations, in numbers"
AGREES = 1e-6
EQUAL = 1e-9
FEW = 12
"""Terms up to which an exact transfer is put in as it is."""
WORST = 0.1
"""A form of the whole term whose error is larger is not printed."""


def dominant_steps(
    prepared: Prepared,
    inquiry: Inquiry,
    share: Share,
    values: Mapping[str, Fraction],
    ask: Distortion,
    peak: float,
    fundamental: float,
) -> tuple[Step, ...]:
    """The steps; the last are the ratio of the second harmonic to the fundamental by this term, composed and as one
    form."""
    one = share.source
    ground = prepared.ground
    controls = [answer(to_control(inquiry, edge), ground.numbers, ground.ring) for edge in one.controls]
    at = [c.spectrum.at_frequency(ask.frequency) for c in controls]
    term = max(one.second, key=lambda t: abs(t.number * at[t.powers[0]] * at[t.powers[1]]))
    reach = answer(injected(inquiry, one.edge), ground.numbers, ground.ring)
    whole = answer(inquiry, ground.numbers, ground.ring)
    here, double = replace(ground, spot=ask.frequency), replace(ground, spot=2 * ask.frequency)
    names = [Name("h_c"), Name("h_d")]
    made = [_coefficient(term, one.kind, values, prepared.network.symbols)]
    for place in sorted(set(term.powers)):
        rule: Words = ("from the signal to what controls it" + (", the second" if place else ""),)
        made += transfer_steps(names[place], rule, controls[place], here, prepared.style, alone=True)
    rule = ("from its current to the output, at the second harmonic",)
    made += transfer_steps(REACH, rule, reach, double, prepared.style, alone=True)
    made += transfer_steps(TRANSFER, ("from the signal to the output",), whole, here, prepared.style, alone=True)
    product_of = [names[p] for p in term.powers]
    value = term.number * at[term.powers[0]] * at[term.powers[1]] * reach.spectrum.at_frequency(2 * ask.frequency)
    value = value * peak * peak / 2 * (4 * pi * float(ask.frequency) if one.kind == "charge" else 1)
    if len(one.second) == 1 and abs(abs(value) - abs(share.second)) > AGREES * abs(share.second):
        raise Defect(f"the term of {one.key} gives another harmonic than the nodal equations")
    unit = "V" if inquiry.excitation == "voltage" else "A"
    shortened = any(step.kind == "approximate" for step in made)
    made.append(_composed(one.kind, product_of, abs(value) / fundamental, peak, unit, shortened))
    made += _as_one(prepared, term, [controls[p] for p in term.powers], reach, whole, ask, one.kind, values,
                    abs(value) / fundamental, peak)  # fmt: skip
    return tuple(made)


def _coefficient(term: Term, kind: Kind, values: Mapping[str, Fraction], listed: Container[str]) -> Step:
    unit = "C/V^2" if kind == "charge" else "A/V^2"
    number: Words = (Reading(term.number, unit),)
    what = "charge" if kind == "charge" else "current"
    rule: Words = (f"the second-order term of its {what}",)
    if term.linear is None or term.rest is None:
        return remark((*rule, ", from its law at the bias point: ", Formula(SECOND[kind])), number)
    tree = fused(term.linear, term.rest)
    found = float(evaluate(tree, values))
    if abs(abs(found) - abs(term.number)) > 1e-12 * abs(found):
        raise Defect("a second-order term is not its formula")
    if found * term.number < 0:
        tree = product(Num(Fraction(-1)), tree)
    unlisted = [name for name in sorted(symbols(term.rest)) if name not in listed]
    note: Words = ()
    for name in unlisted:
        unit = "1" if name.startswith("m_") else "V"
        note = (*note, ", " if note else "with ", Formula(Sym(name)), " = ")
        note = (*note, Reading(float(values[name]), unit, 4, "stated"))
    return Step(rule, (Line(SECOND[kind], "=", tree),), number, "by the law at the bias point", note, "law")


def _composed(kind: Kind, controls: list[Name], ratio: float, peak: float, unit: str, shortened: bool) -> Step:
    """``shortened``: some of its pieces stand above in short, while its number is that of all of their terms."""
    size = product(SECOND[kind], *([Power(controls[0], 2)] if controls[0] == controls[1] else controls), REACH)
    factor: Expr = quotient(AMPLITUDE, Num(Fraction(2)))
    if kind == "charge":
        factor = product(Sym("w"), AMPLITUDE)
    line = Line(Name("HD2"), "=", fused(factor, Call("abs", quotient(size, TRANSFER))))
    size_of = Reading(peak, unit, 4)
    note: Words = ("of this term alone; ", Formula(AMPLITUDE), " is the peak of the signal, ", size_of)
    if shortened:
        note = (*note, "; the number is that of the exact pieces, not of their short forms above")
    return Step(("second harmonic over fundamental",), (line,), (Reading(100 * ratio, "%"),), CHECKED, note)


def _as_one(
    prepared: Prepared,
    term: Term,
    controls: list[Exact],
    reach: Exact,
    whole: Exact,
    ask: Distortion,
    kind: Kind,
    values: Mapping[str, Fraction],
    ratio: float,
    peak: float,
) -> tuple[Step, ...]:
    """The whole term as one form, where its transfers do not depend on frequency (exactly or within the error
    allowed)."""
    if term.linear is None or term.rest is None:
        return ()
    ground = replace(prepared.ground, band=(ask.frequency, 2 * ask.frequency), spot=ask.frequency)
    found = [_flat(prepared, ground, exact) for exact in (*controls, reach, whole)]
    if any(one is None for one, _ in found):
        return ()
    flat, exactly = [one for one, _ in found], all(same for _, same in found)
    ring = prepared.ground.ring
    above, below = ring.one, ring.one
    factors = [ratio_of(term.linear, ring), *(one for one in flat[:-1] if one is not None)]
    last = flat[-1]
    assert last is not None
    for one in (*factors, last.reciprocal()):
        above, below = above * one.above, below * one.below
    tree = write(prepared.style, lowest_terms(ring, above, below))
    if tree is None:
        return ()
    factor: Expr = quotient(AMPLITUDE, Num(Fraction(2))) if kind == "current" else product(Sym("w"), AMPLITUDE)
    form = fused(factor, term.rest, *(() if tree in (ONE, MINUS_ONE) else (Call("abs", tree),)))
    numbers = dict(values)
    numbers |= {f"beta_{n[3:]}": values[n] * values[f"rpi_{n[3:]}"] for n in values
                if n.startswith("gm_") and f"rpi_{n[3:]}" in values}  # fmt: skip
    size = abs(float(evaluate(product(term.rest, tree), numbers))) * peak
    size *= 2 * pi * float(ask.frequency) if kind == "charge" else 0.5
    error = abs(size / ratio - 1)
    if error > WORST or symbols(form) - numbers.keys() - {"w"}:
        return ()
    if exactly and error < EQUAL:
        same: Words = ("put together",)
        return (Step(same, (Line(Name("HD2"), "=", form),), (Reading(100 * size, "%"),), CHECKED),)
    note: Words = ("error at this frequency ", *percent(max(error, 1e-12)))
    rule: Words = ("put together, with what does not count at this frequency and its double left out",)
    return (approximate(rule, (Line(Name("HD2"), "≈", form),), (Reading(100 * size, "%"),), error, note),)


def _flat(prepared: Prepared, ground: Ground, exact: Exact) -> tuple[Ratio | None, bool]:
    """The transfer as a ratio without s, and whether it is exact: itself, or its short form below its corners; None
    where it has no value there. What that costs is measured on the whole."""
    ratio = exact.ratio
    if ratio is not None and sum(ratio.counts) <= FEW and _flat_already(ratio):
        return ratio, True
    found = shortest(exact, (), ground, prepared.style, DEFAULT)
    if found is None or not found.reached:
        return None, False
    return _below_corners(found, ground.ring), False


def _flat_already(ratio: Ratio) -> bool:
    return all(len(ratio.ring.by_powers_of_s(side)) <= 1 for side in (ratio.above, ratio.below))


def _below_corners(found: Short, ring: Ring) -> Ratio | None:
    """The value of a short form where s is small; None where that is zero or infinite."""
    tree = found.written.tree
    pieces: dict[Expr, Expr] = {piece.name: piece.tree for piece in found.written.pieces}
    if pieces:
        tree = in_one_piece(tree, pieces)
    if any(isinstance(part, Name) for part in walk(tree)):
        return None
    try:
        ratio = ratio_of(tree, ring)
    except ExpressionError:
        return None
    above, below = (ring.by_powers_of_s(side) for side in (ratio.above, ratio.below))
    if not above or not below or above[0].is_zero() or below[0].is_zero():
        return None
    return lowest_terms(ring, above[0], below[0])


def fused(*factors: Expr) -> Expr:
    """A product of quotients as one quotient, numbers gathered.

    >>> from derive.expression.text import write
    >>> write(fused(Quotient(Sym("a"), Num(Fraction(2))), Quotient(ONE, Num(Fraction(2)))))
    'a/4'
    """
    above: list[Expr] = []
    below: list[Expr] = []
    for factor in factors:
        for part in factor.factors if isinstance(factor, Product) else (factor,):
            above.append(part.above if isinstance(part, Quotient) else part)
            below.append(part.below if isinstance(part, Quotient) else ONE)
    return quotient(product(*above), product(*below))

"""Slips made on purpose: a formula that is right, and the same with one slip of a named kind.

Enters: right formulas, circuits. Leaves: wrong formulas, each with the slip that was made. Shares no code with the
search for slips.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

from derive.answers.exact import NoSolution, answer
from derive.answers.inquire import Unanswerable, inquire
from derive.circuit.records import Gain, Impedance
from derive.expression.parse import parse_expression
from derive.expression.text import write
from derive.expression.tree import (
    ONE,
    Call,
    Expr,
    Num,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Sym,
    children,
    evaluate,
    negate,
    product,
    symbols,
)
from derive.hand.judge import judge
from derive.network.build import build
from derive.record import ratio_text
from tests.asking import random_point
from tests.hand.circuits import APPROXIMATE, EXACT, Known, matter_of, written

OUTSIDE = 0.08
"""A slip that changes the value at the spot and at the ends of the band by less than this is not used: it is none
that matters."""


@dataclass(frozen=True)
class Wrong:
    """A formula with a slip. ``slips``: names of the diagnosis that tell this very slip.
    ``stated``: whether the file states the book's conditions."""

    known: Known
    slips: tuple[str, ...]
    tree: Expr
    sign: str
    stated: bool = False

    def __str__(self) -> str:
        return f"{self.known.name}: {self.slips[0]}: {write(self.tree)}"


def rebuilt(expr: Expr, parts: tuple[Expr, ...]) -> Expr:
    match expr:
        case Sum():
            return parts[0] if len(parts) == 1 else Sum(parts)
        case Product():
            return product(*parts)
        case Parallel():
            return parts[0] if len(parts) == 1 else Parallel(parts)
        case Quotient():
            return Quotient(*parts)
        case Power(_, exponent):
            return Power(parts[0], exponent)
        case Call(name, _):
            return Call(name, parts[0])
    return expr


def everywhere(expr: Expr, change) -> Iterator[Expr]:  # type: ignore[no-untyped-def]
    """The formula with each change at each place."""
    yield from change(expr)
    parts = children(expr)
    for place, part in enumerate(parts):
        for new in everywhere(part, change):
            yield rebuilt(expr, (*parts[:place], new, *parts[place + 1 :]))


def signs(tree: Expr) -> Iterator[Expr]:
    yield negate(tree)

    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Sum):
            for i, term in enumerate(part.terms):
                yield Sum((*part.terms[:i], negate(term), *part.terms[i + 1 :]))

    yield from everywhere(tree, change)


def fractions(tree: Expr) -> Iterator[Expr]:
    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Quotient) and part != tree and symbols(part.above):
            yield Quotient(part.below, part.above)

    yield from everywhere(tree, change)


def reciprocals(tree: Expr) -> Iterator[Expr]:
    yield Quotient(tree.below, tree.above) if isinstance(tree, Quotient) else Quotient(ONE, tree)


def added(tree: Expr) -> Iterator[Expr]:
    """Added where they stand in parallel."""
    yield from everywhere(tree, lambda p: [Sum(p.branches)] if isinstance(p, Parallel) else [])


def beside(tree: Expr) -> Iterator[Expr]:
    """In parallel where they are added."""
    yield from everywhere(tree, lambda p: [Parallel(p.terms)] if isinstance(p, Sum) and ONE not in p.terms else [])


def slopes(tree: Expr) -> Iterator[Expr]:
    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Quotient) and part.above == ONE and str(part.below).startswith("Sym(name='gm"):
            yield part.below
        if isinstance(part, Sym) and part.name.startswith("gm"):
            yield Quotient(ONE, part)

    yield from everywhere(tree, change)


def doubled(tree: Expr) -> Iterator[Expr]:
    two = Num(Fraction(2))
    betas = [Sym(name) for name in sorted(symbols(tree)) if name.startswith("beta")]

    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Product | Quotient | Sum | Sym):
            yield product(two, part)
            yield Quotient(part, two)
        for beta in betas:
            if isinstance(part, Product) and beta in part.factors and len(part.factors) > 1:
                yield product(*(f for f in part.factors if f != beta))
            if isinstance(part, Sym) and part.name.startswith("R"):
                yield product(beta, part)
                yield Quotient(part, Sum((beta, ONE)))

    yield from everywhere(tree, change)


def left_out(tree: Expr) -> Iterator[Expr]:
    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Sum | Parallel | Product):
            for i, one in enumerate(children(part)):
                rest = (*children(part)[:i], *children(part)[i + 1 :])
                names = symbols(one)
                if rest and len(names) == 1 and not any(n.startswith("beta") for n in names):
                    yield rebuilt(part, rest)

    yield from everywhere(tree, change)


def put_too_much(tree: Expr) -> Iterator[Expr]:
    resistors = [Sym(name) for name in sorted(symbols(tree)) if name.startswith("R")]

    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Sym) and part.name.startswith(("R", "rpi", "ro")):
            for other in resistors:
                if other != part:
                    yield Sum((part, other))
                    yield Parallel((part, other))

    yield from everywhere(tree, change)


def mistaken(tree: Expr) -> Iterator[Expr]:
    """One symbol for another of its kind, at one place."""
    names = [n for n in sorted(symbols(tree)) if n[0] == "R"] + [n for n in sorted(symbols(tree)) if n[0] == "C"]

    def change(part: Expr) -> Iterator[Expr]:
        if isinstance(part, Sym) and part.name in names:
            yield from (Sym(n) for n in names if n != part.name and n[0] == part.name[0])

    yield from everywhere(tree, change)


def exchanged(tree: Expr) -> Iterator[Expr]:
    names = [n for n in sorted(symbols(tree)) if n[0] in "RC"]

    def turn(part: Expr, one: str, other: str) -> Expr:
        if isinstance(part, Sym):
            return Sym({one: other, other: one}.get(part.name, part.name))
        parts = children(part)
        return rebuilt(part, tuple(turn(p, one, other) for p in parts)) if parts else part

    for i, one in enumerate(names):
        for other in names[i + 1 :]:
            if one[0] == other[0]:
                yield turn(tree, one, other)


FORMULA = {
    ("sign",): signs,
    ("inverted", "gm"): fractions,
    ("reciprocal",): reciprocals,
    ("series",): added,
    ("parallel",): beside,
    ("gm",): slopes,
    ("factor",): doubled,
    ("missing term", "missing branch", "missing factor"): left_out,
    ("extra",): put_too_much,
    ("symbol",): mistaken,
    ("swap",): exchanged,
}


def elsewhere(known: Known) -> Iterator[tuple[tuple[str, ...], Expr]]:
    """Right answers to other questions: the wrong node, parts not lifted or lifted, a rail that floats, decibels."""
    matter = matter_of(known)
    ask = matter.question.ask
    if isinstance(ask, Gain):
        if matter.exact.inquiry.unit == "V/V":
            yield ("decibels",), product(Num(Fraction(20)), Call("log10", Call("abs", known.tree)))
        for node in matter.network.nodes:
            if node not in (ask.to, ask.source):
                yield from _answer(known, ("node",), replace(ask, to=node))
    if isinstance(ask, Impedance):
        for node in matter.network.nodes:
            if node != ask.plus:
                yield from _answer(known, ("node",), replace(ask, plus=node))
        if ask.without:
            yield from _answer(known, ("unlifted",), replace(ask, without=()))
        for part in matter.circuit.parts.values():
            if part.kind == "resistor" and ask.plus in part.pins.values() and part.name not in ask.without:
                yield from _answer(known, ("lifted",), replace(ask, without=(*ask.without, part.name)))
    for part in matter.circuit.parts.values():
        if part.kind == "supply":
            yield from _answer(known, ("rail",), ask, part.name)


def _answer(known: Known, slips: tuple[str, ...], ask, supply: str | None = None):  # type: ignore[no-untyped-def]
    matter = matter_of(known)
    parts = {name: part for name, part in matter.circuit.parts.items() if name != supply}
    network = build(replace(matter.circuit, parts=parts))
    try:
        found = answer(inquire(replace(matter.question, ask=ask), network), matter.ground.numbers, matter.ground.ring)
    except (NoSolution, Unanswerable):
        return
    if found.ratio is not None and sum(found.ratio.counts) < 25 and not found.ratio.above.is_zero():
        yield slips, parse_expression(ratio_text(found.ratio))


def signature(known: Known, tree: Expr, stated: bool) -> Fraction | str | None:
    """The value at a random point, by which two ways of writing one function are known; None where it has none."""
    point = random_point(matter_of(known, stated).ground.ring.names, Random(0))
    try:
        return evaluate(tree, point)
    except KeyError:
        return write(tree)
    except ZeroDivisionError:
        return None


def matters(known: Known, tree: Expr, stated: bool) -> bool:
    """Whether a wrong formula is another function than the right one and the answer, and is off by more than a
    little."""
    matter = matter_of(known, stated)
    mark = signature(known, tree, stated)
    point = random_point(matter.ground.ring.names, Random(0))
    assert matter.exact.ratio is not None
    if mark in (None, signature(known, known.tree, stated), matter.exact.ratio.value(point, point["s"])):
        return False
    here = {**matter.ground.numbers, "s": Fraction(6283)}
    for name in matter.ground.ring.names:
        owner = name.removeprefix("gm_")
        if owner != name and f"rpi_{owner}" in here:
            here[f"beta_{owner}"] = here[name] * here[f"rpi_{owner}"]
    try:
        wrong, right = evaluate(tree, here), evaluate(known.tree, here)
    except KeyError:
        return bool(symbols(tree))
    except ZeroDivisionError:
        return False
    return abs(wrong - right) > OUTSIDE * abs(right)


def costs_too_much(known: Known) -> bool:
    """Whether the book's short form is farther from the exact answer here than may pass without being stated."""
    found = judge(matter_of(known), written(known.tree, "≈"), "")
    return found.result.kind == "wrong"


def wrong_formulas(seed: str = "slips") -> list[Wrong]:
    """One of each slip for each right formula, chosen by chance; the same for the same seed.

    Where several slips make one and the same wrong formula, each of them is the very slip that was made.
    """
    source = Random(seed)
    found: list[Wrong] = []
    for known in (*EXACT, *APPROXIMATE):
        sign, stated = ("≈" if known.assume else "="), bool(known.assume) and costs_too_much(known)
        made = [(slips, tree) for slips, make in FORMULA.items() for tree in dict.fromkeys(make(known.tree))]
        if not known.assume:
            made += elsewhere(known)
        made = [(slips, tree) for slips, tree in made if matters(known, tree, stated)]
        kinds: dict[object, set[str]] = {}
        for slips, tree in made:
            kinds.setdefault(signature(known, tree, stated), set()).update(slips)
        for slips in dict.fromkeys(slips for slips, _ in made):
            tree = source.choice([tree for own, tree in made if own == slips])
            names = (*slips, *sorted(kinds[signature(known, tree, stated)] - set(slips)))
            found.append(Wrong(known, names, tree, sign, stated))
    return found

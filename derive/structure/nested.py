"""The budget of a port as a form: each part's admittance times how little its far end follows, each by itself.

Enters: an impedance's inquiry, numbers, the error that is asked for. Leaves: a form. Must not know: words, LaTeX.

Kirchhoff at the port: Y = Σ y (1 - v_far/v) + Σ g v_control/v. Each of these ratios is an answer of its own, in which
nothing cancels: (v - v_far)/v is asked of the network as it stands and not as one minus something near one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from derive.algebra.spectrum import Spectrum, from_coefficients, multiplied
from derive.answers.records import Inquiry
from derive.approximate.cone import Cone
from derive.approximate.reduce import Ground
from derive.expression.tree import ONE, Expr, Name, Parallel, S, Sum, Sym, negate, product, quotient
from derive.forms.laurent import Style
from derive.network.records import Edge, Element
from derive.structure.aim import Aim
from derive.structure.port import Group, groups_of, most_important
from derive.structure.records import Branch, Candidate, Piece, Written
from derive.structure.search import candidates, frontier
from derive.structure.write import written

LEAVES = (0.5, 0.2, 0.05)
"""How much of the asked error the branches that are left out may draw."""
INNER = 0.3
"""The most that a ratio may err by itself, however small the share of its branch."""
Known = dict[tuple[Edge, Fraction], list[Candidate]]
"""The forms of each branch's ratio that were found already, by its edge and by what is allowed."""
Sides = tuple[list[Fraction], list[Fraction]]


@dataclass(frozen=True)
class Nested:
    """The form with its exact spectrum, its branches, and what was left out with the most it draws in the band."""

    written: Written
    spectrum: Spectrum
    branches: tuple[Branch, ...]
    left_out: tuple[tuple[str, float], ...]


def nested(inquiry: Inquiry, aim: Aim, style: Style) -> list[Nested]:
    """The forms found, one for each amount that is left out; () where the port has no budget."""
    groups = groups_of(inquiry, aim)
    found: list[Nested] = []
    known: Known = {}
    for leave in LEAVES if groups else ():
        kept, gone = most_important(groups, leave * float(aim.within))
        made = _form(inquiry, kept, aim, style, known)
        if made is not None:
            written_, spectrum, branches = made
            if not any(spectrum == other.spectrum for other in found):
                found.append(Nested(written_, spectrum, branches, gone))
    return found


def _form(
    inquiry: Inquiry, groups: list[Group], aim: Aim, style: Style, known_forms: Known
) -> tuple[Written, Spectrum, tuple[Branch, ...]] | None:
    pieces: list[Piece] = []
    trees: list[Expr] = []
    branches: list[Branch] = []
    whole: Sides = ([Fraction(0)], [Fraction(1)])
    cost = 0.0
    for group in groups:
        ratio: Spectrum = group.ratio
        name: Name | None = None
        candidate: Candidate | None = None
        if len(ratio.numerator) > 1 or len(ratio.denominator) > 1 or ratio.numerator[0] != ratio.denominator[0]:
            allowed = min(INNER, float(aim.within) / (2 * max(group.share, 1e-9)))
            chosen = _ratio(inquiry, group, Fraction(f"{allowed:.2g}"), aim, style, pieces, known_forms)
            if chosen is None:
                return None
            candidate, words = chosen
            ratio = candidate.spectrum
            value = ratio.at_frequency(aim.ground.spot)
            known = next((p.name for p in pieces if p.tree == words.tree), None)
            if known is not None:
                name = known
            elif words.tree != ONE:
                count = 1 + sum(1 for p in pieces if p.kind == "ratio")
                name = Name(f"F_{count}")
                piece = Piece(name, words.tree, value, "1", "ratio", max(_counts(candidate), default=1))
                pieces += [*words.pieces, piece]
                cost += words.cost
        branch, admittance = _branch(group, name, aim.ground)
        trees.append(branch)
        whole = _added(whole, _scaled(admittance, ratio, group.sign))
        branches.append(Branch(tuple(e.name for e in group.elements), group.far, candidate, name, group.share))
    tree = trees[0] if len(trees) == 1 else Parallel(tuple(trees))
    spectrum = from_coefficients(whole[1], whole[0])
    return Written(tree, tuple(pieces), cost + style.cost(tree)), spectrum, tuple(branches)


def _counts(candidate: Candidate) -> list[int]:
    return [len(factor) for factor, _ in candidate.factored.sums]


def _ratio(
    inquiry: Inquiry, group: Group, within: Fraction, aim: Aim, style: Style, taken: list[Piece], known: Known
) -> tuple[Candidate, Written] | None:
    """The shortest form of how the voltage across a branch compares with the port's, within its allowance."""
    asked = replace(inquiry, above=group.edge, below=inquiry.port, factor=None, unit="V/V")
    inner = Aim.of(group.ratio, aim.ground, Cone(aim.cone.generators), within)
    # A name F_k is kept for the ratio of each branch, so that sums within it are told apart by another number.
    held = [*taken, *(Piece(Name(f"F_{i}"), Name(f"F_{i}"), 0, "1") for i in range(1, 10))]
    key = (group.edge, within)
    if key not in known:
        known[key] = frontier(candidates(asked, inner))
    for candidate in known[key]:
        if candidate.worst <= within:
            words = written(style, candidate.factored, aim.ground.numbers, held)
            if words is not None:
                return candidate, words
    return None


def _branch(group: Group, name: Name | None, ground: Ground) -> tuple[Expr, Sides]:
    """The impedance of a branch as algebra, and its admittance before the ratio in numbers."""
    numbers = ground.numbers
    symbols: list[Expr] = [Sym(e.name) for e in group.elements]
    laws = {e.law for e in group.elements}
    follow: Expr = ONE if name is None else name
    sides: Sides = ([Fraction(0)], [Fraction(1)])
    for element in group.elements:
        sides = _added(sides, _sides(element, numbers[element.name]))
    if laws == {"resistance"}:
        above = symbols[0] if len(symbols) == 1 else Parallel(tuple(symbols))
        return _signed(quotient(above, follow), group.sign), sides
    if laws == {"inductance"} and len(symbols) == 1:
        return _signed(quotient(product(S, symbols[0]), follow), group.sign), sides
    terms: list[Expr] = []
    for element, symbol in zip(group.elements, symbols, strict=True):
        match element.law:
            case "resistance":
                terms.append(quotient(ONE, symbol))
            case "capacitance":
                terms.append(product(S, symbol))
            case "inductance":
                terms.append(quotient(ONE, product(S, symbol)))
            case _:
                terms.append(symbol)
    if laws == {"capacitance"} and len(symbols) > 1:
        terms = [product(S, Sum(tuple(symbols)))]
    admittance = terms[0] if len(terms) == 1 else Sum(tuple(terms))
    return _signed(quotient(ONE, product(admittance, follow)), group.sign), sides


def _signed(expr: Expr, sign: int) -> Expr:
    return expr if sign > 0 else negate(expr)


def _sides(element: Element, number: Fraction) -> Sides:
    match element.law:
        case "resistance":
            return [Fraction(1)], [number]
        case "capacitance":
            return [Fraction(0), number], [Fraction(1)]
        case "inductance":
            return [Fraction(1)], [Fraction(0), number]
        case _:
            return [number], [Fraction(1)]


def _scaled(admittance: Sides, ratio: Spectrum, sign: int) -> Sides:
    above = multiplied(admittance[0], ratio.numerator)
    return [sign * c for c in above], multiplied(admittance[1], ratio.denominator)


def _added(left: Sides, right: Sides) -> Sides:
    first, second = multiplied(left[0], right[1]), multiplied(right[0], left[1])
    width = max(len(first), len(second))
    first += [Fraction(0)] * (width - len(first))
    second += [Fraction(0)] * (width - len(second))
    return [a + b for a, b in zip(first, second, strict=True)], multiplied(left[1], right[1])

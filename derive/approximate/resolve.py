"""From a statement in the author's words to generators of the cone, or to a limit of the network.

Enters: statements, the network. Leaves: resolved statements. Raises Misstated, worded for the author.
Must not know: questions, answers, LaTeX.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from derive.algebra.convert import ratio_of
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.approximate.cone import Cone
from derive.approximate.records import Generator, Limit, Resolved
from derive.circuit.records import Statement
from derive.errors import DeriveError, ExpressionError
from derive.expression.tree import Infinite, Num, Quotient, Relation, Sym, symbols
from derive.network.records import Network

VARIABLES = {"s", "w", "f", "pi"}


class Misstated(DeriveError):
    """A statement that has no meaning here: which one, what is wrong, what would be right."""

    def __init__(self, statement: Statement, what: str, remedy: str = "") -> None:
        self.statement, self.what, self.remedy = statement, what, remedy
        super().__init__(f"{what}; {remedy}" if remedy else what)


def resolve(statements: Sequence[Statement], network: Network, ring: Ring) -> tuple[Resolved, ...]:
    """All statements with their meaning; refuses a set of ratios that contradict each other."""
    resolved = tuple(_one(statement, network, ring) for statement in statements)
    against = Cone(tuple(g for r in resolved for g in r.generators)).contradiction()
    if against:
        names = " and ".join(f"A{number}" for number in against)
        texts = ", ".join(f"“{s.text}”" for s in statements if s.number in against)
        last = next(s for s in statements if s.number == against[-1])
        what = f"{names} contradict each other ({texts}): multiplied, their ratios give one"
        raise Misstated(last, what, "drop one of them")
    return resolved


def _one(statement: Statement, network: Network, ring: Ring) -> Resolved:
    if statement.relation is not None:
        if statement.relation.op in (">>", "<<"):
            return Resolved(statement, generators=_generators(statement, statement.relation, network, ring))
        return Resolved(statement, limit=_arrow(statement, statement.relation, network))
    if statement.ideal_bootstrap is not None:
        deleted = _owned(network, (statement.ideal_bootstrap,))
        return Resolved(statement, limit=Limit(statement.number, deleted, ()))
    if statement.short:
        return Resolved(statement, limit=_short(statement, network))
    return Resolved(statement, limit=Limit(statement.number, _owned(network, statement.open), ()))


def _short(statement: Statement, network: Network) -> Limit:
    """One element of each part is contracted; what else lies between the same nodes then acts on nothing."""
    contracted: list[str] = []
    deleted: list[str] = []
    for part in statement.short:
        elements = _owned(network, (part,))
        contracted += elements[:1]
        deleted += elements[1:]
    return Limit(statement.number, tuple(deleted), tuple(contracted))


def _owned(network: Network, parts: Sequence[str]) -> tuple[str, ...]:
    return tuple(e.name for e in network.elements if e.owner in parts)


def _generators(statement: Statement, relation: Relation, network: Network, ring: Ring) -> tuple[Generator, ...]:
    larger, smaller = relation.left, relation.right
    if relation.op == "<<":
        larger, smaller = smaller, larger
    for name in sorted(symbols(larger) | symbols(smaller)):
        if name in network.missing:
            what = f"{name} is not in the network: {network.missing[name]}"
            raise Misstated(statement, what, "leave the statement out, or change the bias")
    try:
        ratio = ratio_of(Quotient(larger, smaller), ring)
    except ExpressionError as error:
        raise Misstated(statement, error.what, error.remedy) from None
    numbers = network.values()
    above, below = (_positive_terms(statement, side) for side in (ratio.above, ratio.below))
    largest = max(above, key=lambda term: _number(term, ring, numbers))
    found = []
    for term in below:
        exponents = tuple(a - b for a, b in zip(largest[0], term[0], strict=True))
        value = _number(largest, ring, numbers) / _number(term, ring, numbers)
        if not any(exponents):
            raise Misstated(statement, "it compares a quantity with itself", "state two different quantities")
        found.append(Generator(statement.number, exponents, value))
    return tuple(found)


def _positive_terms(statement: Statement, side: Polynomial) -> list[tuple[Exponents, int]]:
    found = terms(side)
    if any(c < 0 for _, c in found):
        raise Misstated(statement, "a difference is compared", "compare sums and products: a difference can vanish")
    if any(exponents[0] for exponents, _ in found):
        what = "statements about frequency (s, w, f) are not built yet"
        raise Misstated(statement, what, 'state a limit of the part: C1 -> 0, or short = ["C1"]')
    return found


def _number(term: tuple[Exponents, int], ring: Ring, numbers: Mapping[str, Fraction]) -> Fraction:
    value = Fraction(term[1])
    for name, exponent in zip(ring.names[1:], term[0][1:], strict=True):
        if exponent:
            value *= numbers[name] ** exponent
    return value


def _arrow(statement: Statement, relation: Relation, network: Network) -> Limit:
    if not isinstance(relation.left, Sym) or relation.left.name in VARIABLES:
        raise Misstated(statement, "a limit is taken of one symbol", "write for example ro_Q2 -> inf")
    to_infinity = isinstance(relation.right, Infinite)
    if not to_infinity and relation.right != Num(Fraction(0)):
        raise Misstated(statement, "a limit goes to 0 or to inf", "for a value, change the part instead")
    name = relation.left.name
    if name.startswith("beta_"):
        if not to_infinity:
            what = f"{name} -> 0 is no transistor any more"
            raise Misstated(statement, what, f"write {name} -> inf or state the ratio you mean")
        name = "rpi_" + name.removeprefix("beta_")
    if name not in {e.name for e in network.elements}:
        return Limit(statement.number, (), ())
    conducts = network.element(name).law in ("conductance", "capacitance", "delay", "unity")
    if conducts == to_infinity:
        # A larger admittance joins its ends; beta -> inf is rpi -> inf, which takes the other branch.
        return Limit(statement.number, (), (name,))
    return Limit(statement.number, (name,), ())

"""From a statement in the author's words to generators of the cone, or to a limit of the network.

Enters: statements, the network. Leaves: resolved statements. Raises Misstated, worded for the author.
Must not know: questions, answers, LaTeX.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from derive.algebra.ring import Ring
from derive.approximate.contradictions import refuse_contradictions
from derive.approximate.equalities import equalities
from derive.approximate.misstated import Misstated
from derive.approximate.ratios import generators
from derive.approximate.records import Limit, Resolved
from derive.circuit.records import Statement
from derive.expression.tree import Infinite, Num, Relation, Sym
from derive.network.records import Network

VARIABLES = {"s", "w", "f", "pi"}


def resolve(
    statements: Sequence[Statement], network: Network, ring: Ring, band: tuple[Fraction, Fraction]
) -> tuple[Resolved, ...]:
    """All statements with their meaning (``band`` in Hz); refuses a set that contradicts itself."""
    resolved = tuple(_one(statement, network, ring, band) for statement in statements)
    refuse_contradictions(resolved)
    return resolved


def _one(statement: Statement, network: Network, ring: Ring, band: tuple[Fraction, Fraction]) -> Resolved:
    relation = statement.relation
    if relation is not None:
        if relation.op in (">>", "<<"):
            return Resolved(statement, generators=generators(statement, relation, network, ring, band))
        if relation.op == "=":
            return Resolved(statement, equalities=equalities(statement, relation, network, ring))
        return Resolved(statement, limit=_arrow(statement, relation, network))
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

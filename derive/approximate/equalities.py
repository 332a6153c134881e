"""What a stated equality says: products of symbols that are alike, or devices of which all symbols are.

Enters: a relation with ``=``, the network. Leaves: equalities of products.
Must not know: questions, answers, LaTeX.
"""

from __future__ import annotations

from fractions import Fraction

from derive.algebra.convert import ratio_of
from derive.algebra.ring import Ring, terms
from derive.approximate.misstated import Misstated
from derive.approximate.ratios import number_of, require_present
from derive.approximate.records import Equality
from derive.circuit.records import Statement
from derive.errors import ExpressionError
from derive.expression.tree import Expr, Name, Quotient, Relation, Sym
from derive.network.records import Network


def equalities(statement: Statement, relation: Relation, network: Network, ring: Ring) -> tuple[Equality, ...]:
    """The equalities that a statement stands for. Raises Misstated."""
    return tuple(_equality(statement, *pair, network, ring) for pair in pairs(statement, relation, network))


def pairs(statement: Statement, relation: Relation, network: Network) -> list[tuple[Expr, Expr]]:
    """Both sides; for two devices, each symbol of the one with that of the other."""
    if not (isinstance(relation.left, Name) and isinstance(relation.right, Name)):
        return [(relation.left, relation.right)]
    left, right = relation.left.name, relation.right.name
    one, other = (_quantities(owner, network) for owner in (left, right))
    alone = [f"{name}_{left}" for name in one if name not in other]
    alone += [f"{name}_{right}" for name in other if name not in one]
    if alone:
        what = f"{left} and {right} are not alike: only one of them has {', '.join(alone)}"
        raise Misstated(statement, what, f"give both the same values, or write gm_{left} = gm_{right}")
    if not one:
        raise Misstated(statement, f"{left} and {right} have no symbols", "an ideal part is like any other of its kind")
    return [(Sym(f"{name}_{left}"), Sym(f"{name}_{right}")) for name in one]


def _quantities(owner: str, network: Network) -> list[str]:
    """What a device has symbols for: gm, rpi…"""
    return [e.name.rpartition("_")[0] for e in network.elements if e.owner == owner and e.symbol is not None]


def _equality(statement: Statement, left: Expr, right: Expr, network: Network, ring: Ring) -> Equality:
    require_present(statement, (left, right), network)
    try:
        ratio = ratio_of(Quotient(left, right), ring)
    except ExpressionError as error:
        raise Misstated(statement, error.what, error.remedy) from None
    above, below = terms(ratio.above), terms(ratio.below)
    if len(above) != 1 or len(below) != 1:
        what = "an equality is between products, and one side is a sum"
        raise Misstated(statement, what, "write which symbols are alike, as in R1 = R2 or R1*R4 = R2*R3")
    exponents = tuple(a - b for a, b in zip(above[0][0], below[0][0], strict=True))
    if not any(exponents):
        raise Misstated(statement, "it compares a quantity with itself", "name two different symbols")
    coefficient = Fraction(above[0][1], below[0][1])
    if coefficient < 0:
        raise Misstated(statement, "one side is negative", "all symbols are positive numbers")
    value = coefficient * number_of(exponents, ring, network.values())
    return Equality(statement.number, exponents, 1 / coefficient, value)

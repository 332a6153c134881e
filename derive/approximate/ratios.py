"""What a stated ratio says: P >> Q as ratios of single products.

Enters: a relation with ``>>`` or ``<<``, the network, the band. Leaves: generators of the cone.
Must not know: questions, answers, LaTeX.

Both sides are multiplied out and cleared of denominators, to sums P and Q of positive products. P >> Q then says
that p exceeds each product q of Q, where p is the largest product of P at this bias point other than q itself.

Frequency is one more symbol of these products, with the exponent of s: a power of s in a sum has the magnitude of
that power of w = 2 pi f. A ratio that holds a power of w is measured at the end of the band where it is smallest,
and in a sum of several products that p is taken which is largest there.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from derive.algebra.convert import ratio_of
from derive.algebra.ring import Exponents, Polynomial, Ring, terms
from derive.approximate.misstated import Misstated
from derive.approximate.records import Generator
from derive.circuit.records import Statement
from derive.errors import ExpressionError
from derive.expression.tree import Expr, Num, Product, Quotient, Relation, Sym, replace_symbols, symbols
from derive.network.records import Network

PI = Fraction("3.14159265358979323846264338327950288419716939937510")
FREQUENCY: Mapping[str, Expr] = {
    "w": Sym("s"),
    "f": Quotient(Sym("s"), Product((Num(Fraction(2)), Num(PI)))),
    "pi": Num(PI),
}
"""The variables of a statement over the ring, in which s stands for the frequency w."""
Term = tuple[Exponents, int]
Band = tuple[Fraction, Fraction]


def generators(
    statement: Statement, relation: Relation, network: Network, ring: Ring, band: Band
) -> tuple[Generator, ...]:
    """The ratios that a statement stands for, each measured. Raises Misstated."""
    larger, smaller = relation.left, relation.right
    if relation.op == "<<":
        larger, smaller = smaller, larger
    require_present(statement, (larger, smaller), network)
    quotient = replace_symbols(Quotient(larger, smaller), FREQUENCY)
    try:
        ratio = ratio_of(quotient, ring)
    except ExpressionError as error:
        raise Misstated(statement, error.what, error.remedy) from None
    numbers = network.values()
    above, below = (_positive_terms(statement, side) for side in (ratio.above, ratio.below))
    return tuple(_generator(statement, above, term, ring, numbers, band) for term in below)


def require_present(statement: Statement, sides: tuple[Expr, ...], network: Network) -> None:
    """Raises Misstated for a symbol that a device does not have at this bias point."""
    for name in sorted(frozenset().union(*map(symbols, sides))):
        if name in network.missing:
            what = f"{name} is not in the network: {network.missing[name]}"
            raise Misstated(statement, what, "leave the statement out, or change the bias")


def _positive_terms(statement: Statement, side: Polynomial) -> list[Term]:
    found = terms(side)
    if any(c < 0 for _, c in found):
        raise Misstated(statement, "a difference is compared", "compare sums and products: a difference can vanish")
    return found


def _generator(
    statement: Statement, above: list[Term], term: Term, ring: Ring, numbers: Mapping[str, Fraction], band: Band
) -> Generator:
    """The largest product over ``term``; one like ``term`` itself says nothing and is passed over."""
    found = []
    for other in above:
        exponents = tuple(a - b for a, b in zip(other[0], term[0], strict=True))
        if any(exponents):
            factor = Fraction(other[1], term[1])
            at = None if not exponents[0] else band[0] if exponents[0] > 0 else band[1]
            value = factor * number_of(exponents, ring, numbers, at)
            found.append(Generator(statement.number, exponents, value, factor, at))
    if not found:
        raise Misstated(statement, "it compares a quantity with itself", "state two different quantities")
    return max(found, key=lambda generator: generator.value)


def number_of(
    exponents: Exponents, ring: Ring, numbers: Mapping[str, Fraction], frequency: Fraction | None = None
) -> Fraction:
    """The number of a product, with the magnitude of s at a frequency in Hz where it holds a power of s."""
    value = (2 * PI * (frequency or Fraction(0))) ** exponents[0] if exponents[0] else Fraction(1)
    for name, exponent in zip(ring.names[1:], exponents[1:], strict=True):
        if exponent:
            value *= numbers[name] ** exponent
    return value

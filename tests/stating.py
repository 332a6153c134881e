"""Random statements about random networks.

Enters: pieces, a source of random numbers. Leaves: statements as an author would write them.
Must not know: what statements do.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from random import Random

from derive.expression.parse import parse_statement
from derive.expression.tree import evaluate
from tests.networks import Piece
from tests.nodal import branches

PATTERNS = (
    "{r1} >> {r2}", "{g1}*{r1} >> 1", "{g1}*({r1} || {r2}) >> 1", "{r1} + {r2} >> {r3}", "{r1} << {r2}",
    "{g1}*{r1} >> {g1}*{r2}", "{g1}*{r1}*{r2} >> {r3}", "{r1} >> {r2} || {r3}",
)  # fmt: skip


def random_statements(pieces: Sequence[Piece], source: Random, count: int, *, true: bool = True) -> list[str]:
    """Ratios of resistances and of transconductances; with ``true`` the larger side is larger at these values."""
    found = branches(pieces)
    numbers = {branch.name: branch.value for branch in found}
    resistances = [b.name for b in found if b.law == "resistor"]
    conductances = [b.name for b in found if b.law == "transconductance"]
    made: list[str] = []
    while len(made) < count:
        pattern = source.choice(PATTERNS if conductances else [p for p in PATTERNS if "{g1}" not in p])
        names = dict(zip(("r1", "r2", "r3"), source.sample(resistances, 3), strict=True))
        text = pattern.format(**names, g1=source.choice(conductances) if conductances else "")
        relation = parse_statement(text)
        larger, smaller = (relation.left, relation.right) if relation.op == ">>" else (relation.right, relation.left)
        ratio = Fraction(evaluate(larger, numbers)) / evaluate(smaller, numbers)
        if not true or ratio > 2:
            made.append(text)
    return made

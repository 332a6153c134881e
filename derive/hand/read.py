"""What someone wrote on paper, from text to records.

Enters: a text of one line or many, plain or LaTeX, the circuit's symbols with their units. Leaves: a Hand, or an
ExpressionError with line, column, fault and remedy. Must not know: answers, and whether what is written is true.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

from derive.errors import ExpressionError
from derive.hand.claims import order
from derive.hand.names import Names
from derive.hand.records import Definition, Hand, Link
from derive.hand.sides import Reader
from derive.hand.statements import read_statements

_NONE: Mapping[str, str] = MappingProxyType({})


def read_hand(
    text: str, units: Mapping[str, str], answers: Collection[str] = (), aliases: Mapping[str, str] = _NONE
) -> Hand:
    """Reads a result by hand: definitions (``Rx = R1 || R2``) and one chain (``A = … = … ≈ …``), units checked.

    ``units``: the circuit's symbols with their units; ``answers``: the names of its questions; ``aliases``: the
    author's spelling of symbols. Raises ExpressionError.

    >>> hand = read_hand("A = -g_m R_x where R_x = Rc || Rl", {"gm_Q1": "S", "Rc": "Ω", "Rl": "Ω"})
    >>> from derive.expression.text import write
    >>> hand.target, [write(link.value) for link in hand.links], [d.name for d in hand.definitions]
    ('A', ['-gm_Q1*(Rc || Rl)'], ['R_x'])
    """
    try:
        names = Names(units, aliases, answers)
        claims = order(read_statements(text, names.knows), names)
        reader = Reader(names)
        definitions = tuple(Definition(claim.name, *reader.define(claim)) for claim in claims.definitions)
        links = tuple(Link(*link) for link in reader.chain(claims.chain))
    except RecursionError:
        raise ExpressionError(text[:80], None, "the text is nested too deep", "name its parts") from None
    return Hand(claims.target, definitions, links)

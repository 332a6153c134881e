"""Op amps of finite gain in the circuits of tests.

Enters: a circuit with ideal op amps, gains and gain-bandwidth products as text. Leaves: the circuit with them.
Must not know: how an op amp is modelled.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from derive.circuit.records import Circuit, Quantity, Statement
from derive.expression.parse import parse_statement

UNITS = {"gain": "1", "gbw": "Hz"}


def finite(made: Circuit, opamps: Mapping[str, Mapping[str, str]], assume: Sequence[str] = ()) -> Circuit:
    """The circuit with ``gain`` and ``gbw`` (Hz) of its op amps by name, and the statements that ``assume`` words."""
    parts = dict(made.parts)
    for name, values in opamps.items():
        stated = {key: Quantity(Fraction(text), UNITS[key], text) for key, text in values.items()}
        parts[name] = replace(parts[name], variety="finite", values=stated)
    statements = tuple(
        Statement(number, text, ("assume", number - 1), relation=parse_statement(text))
        for number, text in enumerate(assume, start=1)
    )
    return replace(made, parts=parts, statements=statements or made.statements)

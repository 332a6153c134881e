"""Short cuts of these tests: everything about a description's tolerances.

Enters: a description. Leaves: what its tolerances do. Must not know: how it is found.
"""

from __future__ import annotations

from derive.answers.anew import Answers
from derive.circuit.records import Circuit
from derive.derivation.analyse import inquiries, prepare
from derive.description.reader import read_text
from derive.tolerance.records import Spread, Tolerances
from derive.tolerance.study import study


def tolerances_of(circuit: Circuit) -> Tolerances:
    """What the tolerances of a circuit do."""
    prepared = prepare(circuit)
    found = study(
        Answers(circuit, prepared.bias), prepared.network, {inquiry.name: inquiry for inquiry in inquiries(prepared)}
    )
    assert found is not None
    return found


def spread(text: str, of: str = "A") -> Spread:
    """What tolerances do to the magnitude of one answer at the spot."""
    found = tolerances_of(read_text(text, "test.toml"))
    return next(s for s in found.spreads if s.reading.of == of)


def divider(r1: str, r2: str, tolerance: str, more: str = "") -> str:
    """Two resistors with one tolerance."""
    return f"""
[parts]
Vs = {{ signal = "voltage", between = ["in", "gnd"] }}
R1 = {{ resistor = "{r1}", between = ["in", "out"], tolerance = "{tolerance}" }}
R2 = {{ resistor = "{r2}", between = ["out", "gnd"], tolerance = "{tolerance}" }}
[[question]]
name = "A"
gain = {{ from = "in", to = "out" }}
{more}"""

"""Circuits with formulas that are right, typed as on paper, for the checks of hand algebra. Circuits are invented.

The formulas of single stages, op amp circuits and filters come with their sources from tests.reference; those here are
of stages with rails, bias networks and loads. Sedra: A. S. Sedra, K. C. Smith, "Microelectronic Circuits", 7th edition;
Gray: P. R. Gray et al., "Analysis and Design of Analog Integrated Circuits", 5th edition. All from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from derive.circuit.records import Circuit
from derive.expression.parse import parse_expression
from derive.expression.tree import Expr
from derive.hand.matter import Matter
from derive.hand.records import Hand, Link
from tests.asking import Asked
from tests.networks import circuit
from tests.reference.test_filters import SECTIONS
from tests.reference.test_opamps import CIRCUITS
from tests.reference.test_resonance import RESONANCES
from tests.reference.test_sources import SOURCES
from tests.reference.test_stages import STAGES

STAGE = """
Vs = { signal = "voltage", between = ["src", "gnd"] }
Vcc = { supply = "12 V", at = "vcc" }
Rs = { resistor = "2.2 kΩ", between = ["src", "b"] }
R1 = { resistor = "47 kΩ", between = ["vcc", "b"] }
R2 = { resistor = "12 kΩ", between = ["b", "gnd"] }
Q1 = { bjt = "npn", base = "b", collector = "c", emitter = "e", gm = "20 mS", rpi = "7 kΩ" }
Rc = { resistor = "4.7 kΩ", between = ["vcc", "c"] }
Re = { resistor = "150 Ω", between = ["e", "gnd"] }
RL = { resistor = "6.8 kΩ", between = ["c", "gnd"] }
"""
FOLLOWER = """
Vs = { signal = "voltage", between = ["src", "gnd"] }
Vdd = { supply = "15 V", at = "vdd" }
Rs = { resistor = "100 kΩ", between = ["src", "g"] }
Rg = { resistor = "330 kΩ", between = ["g", "gnd"] }
J1 = { jfet = "n-channel", gate = "g", drain = "vdd", source = "s", gm = "3 mS", ro = "22 kΩ" }
Rk = { resistor = "1.5 kΩ", between = ["s", "gnd"] }
RL = { resistor = "2.7 kΩ", between = ["s", "gnd"] }
"""
PAIR = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
Vcc = { supply = "12 V", at = "vcc" }
Q1 = { bjt = "npn", base = "in", collector = "m", emitter = "e", gm = "40 mS", rpi = "3 kΩ" }
Re = { resistor = "220 Ω", between = ["e", "gnd"] }
R3 = { resistor = "3.3 kΩ", between = ["vcc", "m"] }
Q2 = { bjt = "npn", base = "m", collector = "vcc", emitter = "out", gm = "60 mS", rpi = "2.4 kΩ" }
R4 = { resistor = "470 Ω", between = ["out", "gnd"] }
"""
OWN = [
    ("stage with bias network: gain", "Sedra, section 7.5", STAGE, 'gain = { from = "src", to = "c" }',
     "-(R1 || R2 || Rb)/(Rs + (R1 || R2 || Rb))*beta_Q1*(Rc || RL)/Rb".replace("Rb", "(rpi_Q1 + (beta_Q1 + 1)*Re)")),
    ("stage with bias network: input resistance", "Sedra, section 7.5", STAGE,
     'impedance = { at = "b", without = ["Rs"] }', "R1 || R2 || (rpi_Q1 + (beta_Q1 + 1)*Re)"),
    ("stage with bias network: output resistance", "Sedra, section 7.5", STAGE,
     'impedance = { at = "c", without = ["RL"] }', "Rc"),
    ("source follower with load: gain", "Sedra, section 7.5", FOLLOWER, 'gain = { from = "src", to = "s" }',
     "Rg/(Rs + Rg)*(Rk || RL || ro_J1)/(1/gm_J1 + (Rk || RL || ro_J1))"),
    ("source follower with load: output resistance", "Sedra, section 7.5", FOLLOWER,
     'impedance = { at = "s", without = ["RL"] }', "(1/gm_J1) || Rk || ro_J1"),
    ("two stages: gain", "Gray, section 3.5", PAIR, 'gain = { from = "in", to = "out" }',
     "-beta_Q1*(R3 || (rpi_Q2 + (beta_Q2 + 1)*R4))/(rpi_Q1 + (beta_Q1 + 1)*Re)"
     "*(beta_Q2 + 1)*R4/(rpi_Q2 + (beta_Q2 + 1)*R4)"),
    ("two stages: output resistance", "Gray, section 3.5", PAIR, 'impedance = { at = "out", without = ["R4"] }',
     "(rpi_Q2 + R3)/(beta_Q2 + 1)"),
]  # fmt: skip


@dataclass(frozen=True)
class Known:
    """A formula that is right: exactly, or approximately under the conditions that the book names."""

    name: str
    source: str
    parts: str
    question: str
    formula: str
    assume: tuple[str, ...] = ()

    def __str__(self) -> str:
        return self.name

    @property
    def tree(self) -> Expr:
        return parse_expression(self.formula)


BOOKS = (*STAGES, *SOURCES, *CIRCUITS, *SECTIONS, *RESONANCES)
EXACT = [Known(p.name, p.source, p.parts, p.question, p.exact) for p in BOOKS]
EXACT += [Known(*each) for each in OWN]
APPROXIMATE = [
    Known(f"{p.name}, short", p.source, p.parts, p.question, p.approximate, p.assume)
    for p in BOOKS
    if p.approximate is not None
]


def described(known: Known, stated: bool = False) -> Circuit:
    return circuit(known.parts, f"X: {known.question}", assume=known.assume if stated else ())


@cache
def matter_of(known: Known, stated: bool = False) -> Matter:
    """What a formula is judged against, with or without the book's conditions stated in the file."""
    asked = Asked(described(known, stated))
    question = asked.circuit.questions[0]
    return Matter(
        asked.circuit, asked.network, asked.ground, asked.style, question, asked.exact("X"), asked.statements
    )  # fmt: skip


def written(tree: Expr | str, sign: str = "=") -> Hand:
    """A hand result of one side."""
    expr = parse_expression(tree) if isinstance(tree, str) else tree
    return Hand(None, (), (Link(sign, expr, "", 1),))  # type: ignore[arg-type]

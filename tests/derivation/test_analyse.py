"""Whole analyses: the worked examples, the textbooks' circuits at two spots, and corners of the input."""

from __future__ import annotations

from pathlib import Path

import pytest

from derive.circuit.records import Circuit
from derive.derivation.analyse import analyse
from derive.derivation.records import Step
from derive.description.reader import read
from derive.errors import DescriptionError
from tests.asking import Asked
from tests.networks import circuit
from tests.reference.book import Published
from tests.reference.test_filters import SECTIONS
from tests.reference.test_opamps import CIRCUITS
from tests.reference.test_resonance import RESONANCES
from tests.reference.test_sources import SOURCES
from tests.reference.test_stages import STAGES

WORKED = sorted((Path(__file__).parents[2] / "worked").glob("*.toml"))
BOOK = [*STAGES, *SOURCES, *CIRCUITS, *SECTIONS, *RESONANCES]
FOLLOWER = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
U1 = { opamp = "ideal", plus = "in", minus = "m", out = "out" }
R1 = { resistor = "1k", between = ["m", "gnd"] }
R2 = { resistor = "10k", between = ["m", "out"] }
"""
INVERTING = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1k", between = ["in", "m"] }
R2 = { resistor = "10k", between = ["m", "out"] }
U1 = { opamp = "ideal", plus = "gnd", minus = "m", out = "out" }
"""


@pytest.mark.parametrize("path", WORKED, ids=lambda path: path.stem)
def test_worked_examples(path: Path) -> None:
    """Every question has an exact answer that a plain nodal solution confirms; every step has its evidence."""
    found = analyse(read(path))
    assert found.numeric_difference < 1e-9
    for derivation in found.derivations:
        steps: tuple[Step, ...] = (
            *derivation.equations, *derivation.elimination, *derivation.result, *derivation.approximations
        )  # fmt: skip
        assert derivation.result
        assert all(step.evidence for step in steps)
        if derivation.budget is not None:
            assert sum(share.share for share in derivation.budget.shares) == pytest.approx(1)
        if derivation.approximate is not None:
            assert derivation.approximate.error.worst < 0.2, f"{derivation.question.name} is a worked example"


@pytest.mark.parametrize("spot", ["0 Hz", "159.15494309189535 kHz"])
@pytest.mark.parametrize("published", BOOK, ids=str)
def test_textbook_circuits_can_be_derived(published: Published, spot: str) -> None:
    """No check of the program's own trips over a circuit from a textbook, at no frequency, d.c. included.

    The last frequency is the resonance of the tanks. A d.c. impedance of a capacitance alone is refused in words.
    """
    made = circuit(published.parts, f"X: {published.question}", assume=published.assume, about=f'spot = "{spot}"')
    refused = _refused_at_direct_current(made) if spot == "0 Hz" else False
    if refused:
        return
    found = analyse(made)
    assert found.derivations[0].exact.ratio == Asked(made).formula(published.exact)


def test_an_answer_that_is_zero() -> None:
    """The output impedance of an ideal op amp with feedback, and the voltage of a virtual ground, are zero."""
    for parts, ask in ((FOLLOWER, 'impedance = { at = "out" }'), (INVERTING, 'gain = { from = "in", to = "m" }')):
        (derivation,) = analyse(circuit(parts, f"X: {ask}", assume=("R2 >> R1",))).derivations
        assert derivation.spot == 0
        assert derivation.approximate is not None
        assert derivation.approximate.error.worst == 0


def test_a_gain_from_a_virtual_ground_is_refused_in_words() -> None:
    with pytest.raises(DescriptionError, match=r"virtual ground|zero") as caught:
        analyse(circuit(INVERTING, 'X: gain = { from = "m", to = "out" }'))
    assert caught.value.line is not None


@pytest.mark.parametrize(
    ("name", "ask"),
    [
        ("a gain from a node without signal at d.c.", 'gain = { from = "n2", to = "n3" }'),
        ("a bootstrap that a capacitor feeds, at d.c.", 'bootstrap = { part = "R2", near = "n2" }'),
        ("an impedance of an inductance, at d.c.", 'impedance = { between = ["n3", "n2"] }'),
    ],
)
def test_direct_current_is_answered_or_refused_in_words(name: str, ask: str) -> None:
    """The spot may be 0 Hz; what has no value there is told with file and line, never as a fault of the program."""
    parts = """
Vs = { signal = "voltage", between = ["n1", "gnd"] }
C1 = { capacitor = "1 µF", between = ["n1", "n2"] }
L2 = { inductor = "1 mH", between = ["n2", "gnd"] }
R2 = { resistor = "10k", between = ["n2", "n3"] }
R3 = { resistor = "10k", between = ["n3", "gnd"] }
L1 = { inductor = "1 mH", between = ["n3", "gnd"] }
"""
    made = circuit(parts, f"X: {ask}", about='spot = "0 Hz"')
    assert _refused_at_direct_current(made) or analyse(made).derivations, name


def _refused_at_direct_current(made: Circuit) -> bool:
    """Whether the analysis says in words that something has no value at 0 Hz."""
    try:
        analyse(made)
    except DescriptionError as error:
        return error.line is not None and ("0 Hz" in error.what or "spot" in error.what)
    return False


def test_a_question_without_a_finite_value_is_refused_in_words() -> None:
    parts = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1k", between = ["in", "p"] }
R2 = { resistor = "1k", between = ["p", "gnd"] }
R3 = { resistor = "1k", between = ["m", "gnd"] }
R4 = { resistor = "1k", between = ["out", "gnd"] }
U1 = { opamp = "ideal", plus = "p", minus = "m", out = "out" }
"""
    with pytest.raises(DescriptionError, match="op amp without feedback") as caught:
        analyse(circuit(parts, 'A: gain = { from = "in", to = "out" }'))
    assert "line" in str(caught.value)

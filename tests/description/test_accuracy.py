"""The accuracy of a question: where it stands, what it may be."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.errors import DescriptionError
from tests.networks import circuit

PARTS = """
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["in", "out"] }
R2 = { resistor = "2 kΩ", between = ["out", "gnd"] }
"""
GAIN = 'gain = { from = "in", to = "out" }'


def test_on_a_question_or_for_all() -> None:
    own = circuit(PARTS, f'A: accuracy = "1 %"\n{GAIN}', f"B: {GAIN}")
    assert [q.accuracy for q in own.questions] == [Fraction(1, 100), None]
    both = circuit(PARTS, f'A: accuracy = "0.1 %"\n{GAIN}', f"B: {GAIN}", about='accuracy = "2 %"')
    assert [q.accuracy for q in both.questions] == [Fraction(1, 1000), Fraction(1, 50)]


@pytest.mark.parametrize("text", ['"0.01 %"', '"50 %"', "0.02"])
def test_ends_are_allowed(text: str) -> None:
    assert circuit(PARTS, f"A: accuracy = {text}\n{GAIN}").questions[0].accuracy is not None


@pytest.mark.parametrize("text", ['"0.009 %"', '"51 %"', '"0 %"', '"-1 %"', '"1 kΩ"', "true", '"fine"', "1", '"20 dB"'])
def test_others_are_refused_in_words(text: str) -> None:
    with pytest.raises(DescriptionError) as refused:
        circuit(PARTS, f"A: accuracy = {text}\n{GAIN}")
    assert "%" in str(refused.value)
    assert "test.toml" in str(refused.value)


def test_not_at_the_top() -> None:
    with pytest.raises(DescriptionError, match="about"):
        circuit(PARTS, f"A: {GAIN}", about='title = "x"\n[accuracy]\nof = 1')

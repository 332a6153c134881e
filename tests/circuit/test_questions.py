"""Which signal excites a question, and from where a gain is taken."""

from __future__ import annotations

import pytest

from derive.circuit.records import Bootstrap, Gain, ReturnRatio
from derive.description.reader import read_text
from derive.errors import DescriptionError

PARTS = """\
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
Is = { signal = "current", between = ["photo", "gnd"] }
R1 = { resistor = "1k", between = ["in", "mid"] }
R2 = { resistor = "1k", between = ["mid", "photo"] }
R3 = { resistor = "1k", between = ["mid", "gnd"] }
Rv = { resistor = "1k", between = ["vcc", "mid"] }
Vcc = { supply = "5 V", at = "vcc" }
[[question]]
name = "A"
"""
ONE_SIGNAL = PARTS.replace('Is = { signal = "current", between = ["photo", "gnd"] }\n', "")


def ask(question: str, parts: str = PARTS) -> object:
    return read_text(parts + question, "c.toml").questions[0].ask


@pytest.mark.parametrize(
    ("question", "gain"),
    [
        ('gain = { from = "in", to = "mid" }', Gain("in", "mid", "Vs")),
        ('gain = { from = "photo", to = "mid" }', Gain(None, "mid", "Is")),
        ('gain = { from = "Is", to = "mid" }', Gain(None, "mid", "Is")),
        ('gain = { from = "photo", to = "photo" }', Gain(None, "photo", "Is")),
        ('gain = { from = "mid", to = "photo", driven_by = "Vs" }', Gain("mid", "photo", "Vs")),
        ('gain = { from = "mid", to = "in", driven_by = "Is" }', Gain("mid", "in", "Is")),
        ('gain = { from = "photo", to = "mid", driven_by = "Vs" }', Gain("photo", "mid", "Vs")),
        ('gain = { from = "R1.second", to = "R2.second", driven_by = "Vs" }', Gain("mid", "photo", "Vs")),
    ],
)
def test_gains(question: str, gain: Gain) -> None:
    assert ask(question) == gain


def test_an_inner_node_under_the_only_signal() -> None:
    assert ask('gain = { from = "mid", to = "photo" }', ONE_SIGNAL) == Gain("mid", "photo", "Vs")


def test_a_bootstrap_names_its_signal() -> None:
    question = 'bootstrap = { part = "R2", near = "photo", driven_by = "Vs" }'
    assert ask(question) == Bootstrap("R2", "photo", "mid", "Vs")


@pytest.mark.parametrize(
    ("question", "fragments"),
    [
        ('gain = { from = "mid", to = "photo" }', ["several signals", "Vs, Is", 'driven_by = "Vs"']),
        ('bootstrap = { part = "R2", near = "photo" }', ["several signals", "driven_by"]),
        ('gain = { from = "in", to = "mid", driven_by = "Is" }', ["held at zero by Vs"]),
        ('gain = { from = "vcc", to = "mid" }', ["supply Vcc", "zero"]),
        ('gain = { from = "in", to = "Vs.first" }', ["node in to itself"]),
        ('gain = { from = "mid", to = "mid", driven_by = "Vs" }', ["node mid to itself"]),
        ('gain = { from = "Is", to = "mid", driven_by = "Vs" }', ["from Is", "driven by Vs"]),
        ('gain = { from = "Vs", to = "mid" }', ["Vs is a part", "its node, in"]),
        ('gain = { from = "R1", to = "mid" }', ["R1 is a part"]),
        ('gain = { from = "in", to = "gnd" }', ["to ground is zero"]),
        ('gain = { from = "in", to = "mud" }', ["no node mud", "mid"]),
        ('return_ratio = { of = "gm_Q1" }', ["not a controlled source"]),
        ('impedance = { at = "mid", without = ["Vcc"] }', ["cannot be lifted"]),
    ],
)
def test_refused(question: str, fragments: list[str]) -> None:
    with pytest.raises(DescriptionError) as caught:
        ask(question)
    for fragment in fragments:
        assert fragment in str(caught.value)


def test_no_signal() -> None:
    parts = ONE_SIGNAL.replace('Vs = { signal = "voltage",', 'Vs = { supply = "1 V",')
    with pytest.raises(DescriptionError, match="no signal drives"):
        ask('gain = { from = "mid", to = "photo" }', parts)


@pytest.mark.parametrize(
    ("of", "fragment"),
    [("Q1", "write gm_Q1"), ("U1", "ideal op amp.*give U1 a gain"), ("gm_Q2", "nearest controlled source is gm_Q1")],
)
def test_return_ratios(of: str, fragment: str) -> None:
    parts = ONE_SIGNAL.replace(
        "[[question]]",
        'Q1 = { jfet = "n-channel", gate = "in", drain = "mid", source = "gnd", gm = "1 mS" }\n'
        'U1 = { opamp = "ideal", plus = "mid", minus = "o", out = "o" }\n[[question]]',
    )
    with pytest.raises(DescriptionError, match=fragment):
        ask(f'return_ratio = {{ of = "{of}" }}', parts)


def test_the_return_ratio_of_an_op_amp_of_finite_gain() -> None:
    parts = ONE_SIGNAL.replace(
        "[[question]]",
        'U1 = { opamp = "finite", gain = 1e5, plus = "photo", minus = "o", out = "o" }\n'
        'R4 = { resistor = "1k", between = ["o", "gnd"] }\n[[question]]',
    )
    assert ask('return_ratio = { of = "U1" }', parts) == ReturnRatio("U1", device=True)

"""Pins as nodes, and wiring that is wrong as a whole."""

from __future__ import annotations

import pytest

from derive.circuit.records import Circuit
from derive.description.reader import read_text
from derive.errors import DescriptionError

QUESTION = '[[question]]\nname = "Z"\nimpedance = { at = "in" }\n'
STAGE = """\
Vs = { signal = "voltage", between = ["in", "gnd"] }
Vcc = { supply = "9 V", at = "vcc" }
"""


def circuit(lines: str, question: str = QUESTION) -> Circuit:
    return read_text(f"[parts]\n{STAGE}{lines}\n{question}", "c.toml")


def refused(lines: str, *fragments: str, question: str = QUESTION) -> None:
    with pytest.raises(DescriptionError) as caught:
        circuit(lines, question)
    for fragment in fragments:
        assert fragment in str(caught.value)


def test_a_pin_that_is_named_nowhere_has_its_own_node() -> None:
    found = circuit(
        'Q1 = { bjt = "npn", base = "in", ic = "1 mA", beta = 100 }\n'
        'Rc = { resistor = "1k", between = ["Q1.collector", "vcc"] }\n'
        'Re = { resistor = "1k", between = ["Q1.emitter", "gnd"] }'
    )
    assert dict(found.parts["Q1"].pins) == {
        "base": "in",
        "collector": "Q1.collector",
        "emitter": "Q1.emitter",
    }
    assert found.parts["Rc"].pins["first"] == "Q1.collector"
    assert "Q1.emitter" in found.nodes


def test_chains_of_pins_end_at_the_plain_name() -> None:
    found = circuit(
        'R1 = { resistor = "1k", between = ["in", "R2.first"] }\n'
        'R2 = { resistor = "1k", between = ["R3.second", "gnd"] }\n'
        'R3 = { resistor = "1k", between = ["vcc", "mid"] }'
    )
    assert found.parts["R1"].pins["second"] == found.parts["R2"].pins["first"] == "mid"
    assert set(found.nodes) == {"in", "gnd", "vcc", "mid"}


def test_a_question_may_name_a_pin() -> None:
    question = '[[question]]\nname = "Z"\nimpedance = { at = "Q1.collector" }\n'
    found = circuit(
        'Q1 = { jfet = "n-channel", gate = "in", drain = "vcc", source = "gnd", gm = "1 mS" }',
        question.replace("collector", "drain"),
    )
    assert found.questions[0].ask.plus == "vcc"  # type: ignore[union-attr]


def test_a_question_excuses_a_node_that_only_one_part_touches() -> None:
    lines = 'R1 = { resistor = "1k", between = ["in", "vcc"] }\nR2 = { resistor = "1k", between = ["vcc", "tap"] }'
    refused(lines, "only R2 touches node tap")
    assert "tap" in circuit(lines, '[[question]]\nname = "Z"\nimpedance = { at = "tap" }\n').nodes


def test_circles_of_pins() -> None:
    refused(
        'R1 = { resistor = "1k", between = ["R2.first", "gnd"] }\n'
        'R2 = { resistor = "1k", between = ["R1.first", "in"] }',
        "circle: R2.first to R1.first to R2.first",
    )


@pytest.mark.parametrize(
    ("lines", "fragments"),
    [
        (
            'R1 = { resistor = "1k", between = ["in", "vcc"] }\n'
            'R2 = { resistor = "1k", between = ["a", "b"] }\n'
            'C1 = { capacitor = "1n", between = ["a", "b"] }',
            ["line 5", "node a has no path to ground"],
        ),
        (  # nothing but the gate and a current source: no current can flow
            'R1 = { resistor = "1k", between = ["in", "vcc"] }\n'
            'Ix = { signal = "current", between = ["g", "gnd"] }\n'
            'Q1 = { jfet = "n-channel", gate = "g", drain = "vcc", source = "in", gm = "1 mS" }',
            ["node g has no path to ground"],
        ),
        (  # two collectors without ro on one node
            'Q1 = { bjt = "npn", base = "in", emitter = "gnd", collector = "x", gm = 0.04, beta = 90 }\n'
            'Q2 = { bjt = "pnp", base = "in", emitter = "vcc", collector = "x", gm = 0.04, beta = 90 }',
            ["node x is held by nothing", "ro"],
        ),
        (
            'U1 = { opamp = "ideal", plus = "in", minus = "m", out = "o" }\n'
            'U2 = { opamp = "ideal", plus = "in", minus = "m", out = "o" }\n'
            'R1 = { resistor = "1k", between = ["m", "o"] }',
            ["U1 and U2 form a loop"],
        ),
        (
            'V1 = { supply = "1 V", between = ["vcc", "a"] }\n'
            'V2 = { supply = "1 V", between = ["a", "gnd"] }\n'
            'R1 = { resistor = "1k", between = ["in", "a"] }',
            ["line 5", "V1, Vcc and V2 form a loop"],
        ),
        (  # the output of an op amp of finite gain is held as a source holds its node
            'U1 = { opamp = "finite", gain = 1e5, plus = "in", minus = "in2", out = "vcc" }\n'
            'R1 = { resistor = "1k", between = ["in", "in2"] }',
            ["Vcc and U1 form a loop"],
        ),
        (  # nothing holds its inverting input: an ideal op amp would hold it at the other
            'U1 = { opamp = "finite", gbw = "1 MHz", plus = "in", minus = "m", out = "o" }\n'
            'Q1 = { mosfet = "n-channel", gate = "o", drain = "m", source = "gnd", gm = "1 mS" }\n'
            'R1 = { resistor = "1k", between = ["vcc", "o"] }',
            ["node m is held by nothing"],
        ),
        (
            'R1 = { resistor = "1k", between = ["in", "vcc"] }\n'
            'Ix = { signal = "current", between = ["g", "gnd"] }\n'
            'Q1 = { mosfet = "n-channel", gate = "g", drain = "vcc", source = "in", gm = "1 mS" }',
            ["node g has no path to ground"],
        ),
        ('R1 = { resistor = "1k", between = ["in", "in"] }', ["joins node in to itself"]),
    ],
)
def test_wiring(lines: str, fragments: list[str]) -> None:
    refused(lines, *fragments)


def test_two_op_amps_of_finite_gain_may_watch_the_same_nodes() -> None:
    """Ideal ones may not: see above. Feedback is not needed either."""
    assert circuit(
        'U1 = { opamp = "finite", gain = 1e5, plus = "in", minus = "m", out = "o" }\n'
        'U2 = { opamp = "ideal", gbw = "1 MHz", plus = "in", minus = "m", out = "p" }\n'
        'R1 = { resistor = "1k", between = ["m", "gnd"] }\n'
        'R2 = { resistor = "1k", between = ["o", "p"] }\n'
        'R3 = { resistor = "1k", between = ["vcc", "o"] }'
    )


def test_capacitances_of_a_mosfet_carry_current() -> None:
    assert circuit(
        'Ix = { signal = "current", between = ["g", "gnd"] }\n'
        'Q1 = { mosfet = "n-channel", gate = "g", drain = "vcc", source = "in", k = "2 mA/V²", vth = "1 V", '
        'ciss = "9 pF" }'
    )


def test_a_load_holds_two_collectors() -> None:
    assert circuit(
        'Q1 = { bjt = "npn", base = "in", emitter = "gnd", collector = "x", gm = 0.04, beta = 100, ro = "50k" }\n'
        'Q2 = { bjt = "pnp", base = "in", emitter = "vcc", collector = "x", gm = 0.04, beta = 90 }'
    )

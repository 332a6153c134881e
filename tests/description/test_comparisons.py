"""Questions that cut a connection or sweep stability: what they say is read, and what is wrong is told in words."""

from __future__ import annotations

from fractions import Fraction

import pytest

from derive.description.reader import read_text
from derive.errors import DescriptionError

STAGE = """[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
Q1 = { bjt = "npn", base = "in", collector = "c", emitter = "e", beta = 200, ic = "1 mA" }
Rc = { resistor = "4.7 kΩ", between = ["c", "vcc"] }
Re = { resistor = "1 kΩ", between = ["e", "gnd"] }
Ce = { capacitor = "100 µF", between = ["e", "gnd"] }
U1 = { opamp = "ideal", plus = "c", minus = "out", out = "out" }
Rl = { resistor = "1 kΩ", between = ["out", "gnd"] }
Vcc = { supply = "12 V", at = "vcc" }
[[question]]
name = "A"
gain = { from = "in", to = "c" }
[[question]]
name = "B"
"""
# The last line is 14; what is asked stands on line 15.


def test_a_pin_and_an_end_are_found() -> None:
    circuit = read_text(STAGE + 'connection = { pin = "Q1.emitter", loop = "gm_Q1" }\nwithin = "2 %"\n', "t.toml")
    (found,) = circuit.connections
    assert (found.part, found.pin, found.node, found.loop) == ("Q1", "emitter", "e", "gm_Q1")
    assert found.compare == ("A",)
    assert found.within == Fraction(1, 50)
    assert [question.name for question in circuit.questions] == ["A"]
    (other,) = read_text(STAGE + 'connection = { part = "Ce", end = "Q1.emitter" }\n', "t.toml").connections
    assert (other.part, other.pin, other.node) == ("Ce", "first", "e")


def test_a_sweep_is_found() -> None:
    (cable,) = read_text(STAGE + 'stability = { at = "out", capacitance = ["10 pF", "10 nF"] }\n', "t.toml").sweeps
    assert (cable.kind, cable.at, cable.part) == ("capacitor", "out", None)
    assert (cable.low.value, cable.high.value) == (Fraction(1, 10**11), Fraction(1, 10**8))
    (part,) = read_text(STAGE + 'stability = { part = "Re", resistance = ["50 Ω", "10 kΩ"] }\n', "t.toml").sweeps
    assert (part.kind, part.at, part.part) == ("resistor", None, "Re")


WRONG = {
    "neither pin nor part": ("connection = { }", ["not named", "Q2.emitter"]),
    "both": ('connection = { pin = "Q1.emitter", part = "Ce" }', ["named twice", 'pin = "Q2.emitter"']),
    "no pin": ('connection = { pin = "e" }', ['"e" is no pin', "a dot"]),
    "unknown pin": ('connection = { pin = "Q1.gate" }', ["Q1 has no pin gate", "base, collector, emitter"]),
    "unknown part": ('connection = { pin = "Q2.base" }', ["no part Q2"]),
    "a pin with an end": ('connection = { pin = "Q1.base", end = "in" }', ["a pin has no end"]),
    "another end": ('connection = { part = "Ce", end = "c" }', ["Ce does not touch node c", "e or gnd"]),
    "a device as a part": ('connection = { part = "Q1", end = "e" }', ["pins", "Q1.base"]),
    "ground": ('connection = { part = "Ce", end = "gnd" }', ["at signal ground already"]),
    "a rail": ('connection = { part = "Rc", end = "vcc" }', ["at signal ground already"]),
    "an output": ('connection = { pin = "U1.out" }', ["drives its node"]),
    "a source": ('connection = { pin = "Vs.first" }', ["signal"]),
    "unknown answer": ('connection = { part = "Ce", end = "e", compare = ["D"] }', ["no question D"]),
    "unknown loop": ('connection = { part = "Ce", end = "e", loop = "Q1" }', ["write gm_Q1"]),
    "unknown key": ('connection = { part = "Ce", node = "e" }', ["unknown key", "end"]),
    "certified": ('connection = { part = "Ce", end = "e" }\ncertify = true', ["certify", "leave certify out"]),
    "nothing swept": ('stability = { at = "out" }', ["no value is swept", "capacitance"]),
    "two swept": ('stability = { at = "out", capacitance = ["1 pF", "1 nF"], resistance = [1, 2] }', ["both"]),
    "no place": ('stability = { capacitance = ["1 pF", "1 nF"] }', ["whose capacitance", "at ="]),
    "two places": ('stability = { at = "out", part = "Ce", capacitance = ["1 pF", "1 nF"] }', ["both part and at"]),
    "wrong kind": ('stability = { part = "Re", capacitance = ["1 pF", "1 nF"] }', ["no capacitance", "resistance ="]),
    "falling": ('stability = { at = "out", capacitance = ["1 nF", "1 pF"] }', ["does not ascend"]),
    "one end": ('stability = { at = "out", capacitance = "1 nF" }', ["two ends"]),
    "a rail swept": ('stability = { at = "vcc", capacitance = ["1 pF", "1 nF"] }', ["signal ground"]),
    "short": ('stability = { at = "out", capacitance = ["1 pF", "1 nF"] }\nwithin = "5 %"', ["no short form"]),
    "two questions": ('connection = { part = "Ce", end = "e" }\ngain = { from = "in", to = "c" }', ["both"]),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_is_wrong_is_told_in_words(name: str) -> None:
    line, words = WRONG[name]
    with pytest.raises(DescriptionError) as raised:
        read_text(STAGE + line + "\n", "t.toml")
    message = str(raised.value)
    for word in words:
        assert word in message, message
    assert "t.toml" in message


def test_names_are_not_given_twice() -> None:
    with pytest.raises(DescriptionError, match="already"):
        read_text(STAGE.replace('name = "B"', 'name = "A"') + 'connection = { part = "Ce", end = "e" }\n', "t.toml")

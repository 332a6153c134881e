"""Questions of noise and distortion that are wrong get one message: where, what, what would be right."""

from __future__ import annotations

import pytest

from derive.errors import DescriptionError
from tests.networks import circuit

PARTS = """Vs = { signal = "voltage", between = ["src", "gnd"] }
R1 = { resistor = "1 kΩ", between = ["src", "out"] }
C1 = { capacitor = "10 nF", between = ["out", "gnd"] }
R2 = { resistor = "1 kΩ", between = ["out", "gnd"] }
Vcc = { supply = "9 V", at = "vcc" }
R3 = { resistor = "1 kΩ", between = ["vcc", "out"] }"""


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        ('noise = { at = "nowhere" }', "there is no node nowhere"),
        ('noise = { at = "vcc" }', "held by the supply Vcc"),
        ('noise = { at = "out", referred_to = "out" }', "no signal drives node out"),
        ('noise = { at = "out", source = "R1" }', "no input is named"),
        ('noise = { at = "out", referred_to = "src", source = "C1" }', "C1 is a capacitor"),
        ('noise = { at = "out", referred_to = "src", source = "R2" }', "R2 does not touch Vs"),
        ('distortion = { to = "out", amplitude = "1 V" }', "peak or rms"),
        ('distortion = { to = "out", amplitude = 1 }', "peak or rms"),
        ('distortion = { to = "out", amplitude = "1 A peak" }', "a voltage"),
        ('distortion = { to = "out", amplitude = "1 V peak", frequency = "0 Hz" }', "no harmonics"),
        ('distortion = { to = "gnd", amplitude = "1 V peak" }', "ground has no voltage"),
        ('distortion = { to = "out", amplitude = "1 V peak", of = "input" }', "input"),
    ],
)
def test_wrong_questions(ask: str, said: str) -> None:
    with pytest.raises(DescriptionError) as found:
        circuit(PARTS, f"N: {ask}")
    assert said in str(found.value)
    assert "test.toml" in str(found.value)

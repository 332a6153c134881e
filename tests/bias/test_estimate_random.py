"""The estimate of random circuits: it always ends, says what stopped it, and never prints a line that is not so."""

from __future__ import annotations

from random import Random

import pytest

from derive.circuit.records import Part
from tests.bias.test_estimate import VCC, VEE, bipolar, fet, part, resistor, signal, solved, supply

CIRCUITS = 25


class Maker:
    """Parts between random nodes, with the numbers of their laws."""

    def __init__(self, source: Random) -> None:
        self.source = source
        self.nodes = ["vcc", "gnd", "vee", *(f"n{place}" for place in range(source.randrange(3, 8)))]
        self.parts: list[Part] = [VCC, VEE]
        self.laws: dict[str, float] = {}

    def pick(self, count: int) -> str:
        return " ".join(self.source.choice(self.nodes) for _ in range(count))

    def channel(self) -> tuple[str, int]:
        variety = self.source.choice(["n-channel", "p-channel"])
        return variety, 1 if variety == "n-channel" else -1

    def devices(self) -> None:
        for place in range(self.source.randrange(5)):
            self.parts.append(bipolar(f"Q{place}", self.pick(3), self.source.choice(["npn", "pnp"])))
            self.laws[f"Is_Q{place}"] = self.source.choice([1e-14, 2e-14])
        for place in range(self.source.randrange(3)):
            variety, sign = self.channel()
            self.parts.append(fet(f"J{place}", self.pick(3), variety))
            self.laws |= {f"Idss_J{place}": 5e-3, f"Vp_J{place}": -2.0 * sign}
        for place in range(self.source.randrange(2)):
            variety, sign = self.channel()
            self.parts.append(fet(f"M{place}", self.pick(3), variety, "mosfet"))
            self.laws |= {f"k_M{place}": 2e-3, f"Vth_M{place}": 1.0 * sign}
        for place in range(self.source.randrange(3)):
            self.parts.append(part("diode", f"D{place}", self.pick(2), self.source.choice(["silicon", "led"])))

    def rest(self) -> None:
        for place in range(self.source.randrange(1, 9)):
            value = self.source.choice([100, 1e3, 4.7e3, 1e4, 1e5, 1e6])
            self.parts.append(resistor(f"R{place}", self.pick(2), value))
        some = (
            part("opamp", "U1", self.pick(3), "ideal"),
            signal("Vs", self.pick(2), self.source.choice([0, 1])),
            signal("Ig", self.pick(2), self.source.choice([0, 1e-3]), "current"),
            part("transconductance", "G1", self.pick(4), transconductance=1e-3),
            part("inductor", "L1", self.pick(2), inductance=1e-3),
            supply("Vb", self.pick(2), 1.5),
        )
        self.parts += [one for one in some if self.source.random() < 0.25]


@pytest.mark.parametrize("seed", range(12))
def test_random_circuits(seed: int) -> None:
    source = Random(seed)
    for _ in range(CIRCUITS):
        maker = Maker(source)
        maker.devices()
        maker.rest()
        found = solved(*maker.parts, **maker.laws)
        devices = [one.name for one in maker.parts if one.kind in ("bjt", "jfet", "mosfet", "diode")]
        assert found.why or all(name in found.currents for name in devices)

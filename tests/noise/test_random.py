"""Noise of random networks: in thermal equilibrium, and against nodal equations that know nothing of the tool."""

from __future__ import annotations

from math import pi
from random import Random

import numpy as np
import pytest

from derive.derivation.analyse import prepare
from derive.noise.study import study_noise
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active, random_passive

K = 1.380649e-23


@pytest.mark.parametrize("seed", range(15))
def test_a_passive_network_has_the_noise_of_its_resistance(seed: int) -> None:
    """4kT·Re Z at every port, and over all frequencies kT·(1/C at high - 1/C at low frequency) (H. Nyquist 1928)."""
    source = Random(f"noise {seed}")
    pieces = random_passive(source, source.randint(2, 5), source.randint(1, 4), ("resistor", "capacitor", "inductor"))
    asked = circuit(pieces, 'Z: impedance = { at = "n1" }', 'N: noise = { at = "n1" }')
    found = study_noise(prepare(asked), asked.studies[0])
    impedance = Asked(asked).exact("Z").spectrum
    wanted = 4 * K * 298.15 * impedance.at_frequency(1000).real
    assert found.density == pytest.approx(wanted, rel=1e-9)
    held = len(impedance.denominator) - len(impedance.numerator)
    if held == 1 and impedance.denominator[0] and found.everywhere is not None:
        # A port with a capacitance across it and none in series at d.c.
        wanted = K * 298.15 * float(impedance.numerator[-1] / impedance.denominator[-1])
        assert found.everywhere == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_active_networks_agree_with_plain_nodal_equations(seed: int) -> None:
    """The sum of density times |transfer|² of each resistor and each stated device, from a matrix written here."""
    source = Random(f"noisy {seed}")
    pieces = random_active(source, source.randint(3, 4), ("bjt", "jfet"))
    asked = circuit(pieces, 'N: noise = { at = "n1" }', about='spot = "3 kHz"')
    found = study_noise(prepare(asked), asked.studies[0])
    assert found.density == pytest.approx(_density(pieces, 3000.0), rel=1e-8)


def _density(pieces: list[Piece], frequency: float) -> float:
    from tests.nodal import branches

    names = sorted({n for p in pieces for n in p.nodes} - {"gnd"})
    row = {name: k for k, name in enumerate(names)}

    def edge(pair: tuple[str, ...]) -> np.ndarray:
        vector = np.zeros(len(names), dtype=complex)
        for node, sign in zip(pair, (1, -1), strict=True):
            if node != "gnd":
                vector[row[node]] += sign
        return vector

    matrix = np.zeros((len(names),) * 2, dtype=complex)
    s = 2j * pi * frequency
    for branch in branches(pieces):
        value = float(branch.value)
        size = {"resistor": 1 / value, "capacitor": s * value, "inductor": 1 / (s * value), "transconductance": value}
        matrix += size[branch.law] * np.outer(edge(branch.current), edge(branch.sense))
    reach = np.linalg.solve(matrix.T, edge(("n1", "gnd")))
    kt, total = K * 298.15, 0.0
    for piece in pieces:
        values = {key: float(v) for key, v in piece.values.items()}
        if piece.kind == "resistor":
            total += 4 * kt / values["resistor"] * abs(reach @ edge(piece.nodes)) ** 2
        elif piece.kind in ("bjt", "jfet"):
            control, out, common = piece.nodes
            drain = abs(reach @ edge((out, common))) ** 2
            if piece.kind == "bjt":
                # 2q·Ic with Ic = gm·kT/q, and 2q·Ib with Ib = kT/(q·rpi)
                base = abs(reach @ edge((control, common))) ** 2
                total += 2 * kt * values["gm"] * drain + 2 * kt / values["rpi"] * base
            else:
                total += 4 * kt * 2 / 3 * values["gm"] * drain
    return total

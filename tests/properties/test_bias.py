"""Random circuits of 2 to 12 devices: solved to the last digit, or honestly refused; never anything else."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from derive.bias.records import Bias, Unsolved
from derive.bias.solve import solve
from derive.circuit.records import Circuit
from tests.bias.circuits import described

CIRCUITS = 200
CHUNKS = 10
LEAST_SOLVED = 0.98


def random_circuit(seed: int) -> Circuit:
    """Devices between random nodes, at most one pin on a rail, and resistors that give every node a way out."""
    chance = Random(seed)
    count = chance.randint(2, 12)
    inner = [f"n{place}" for place in range(count + 2)]
    nodes = [*inner, "vcc", "vee", "gnd"]
    lines = [f'Vcc = {{ supply = "{chance.choice([5, 12, 15])} V", at = "vcc" }}']
    lines.append(f'Vee = {{ supply = "-{chance.choice([5, 12, 15])} V", at = "vee" }}')
    for place in range(count):
        pins = chance.sample(inner, 2)
        pins.append(chance.choice([node for node in nodes if node not in pins]))
        chance.shuffle(pins)
        lines.append(f"Q{place} = {{ {_device(chance, pins)} }}")
    for place, node in enumerate(inner):
        others = [other for other in nodes if other != node]
        for turn in range(2):
            lines.append(_resistor(f"R{place}{'AB'[turn]}", chance, node, chance.choice(others)))
        if chance.random() < 0.5:
            lines.append(_resistor(f"R{place}C", chance, node, chance.choice(["vcc", "vee", "gnd"])))
    lines += [_resistor(f"RL{place}", chance, rail, "gnd") for place, rail in enumerate(("vcc", "vee"))]
    return described("\n".join(lines), "n0")


def _device(chance: Random, pins: list[str]) -> str:
    a, b, c = pins
    bipolar = f'base = "{a}", collector = "{b}", emitter = "{c}", beta = {chance.choice([50, 200, 500])}'
    channel = f'gate = "{a}", drain = "{b}", source = "{c}", lambda = "0.02 1/V"'
    return chance.choice(
        [
            f'bjt = "npn", {bipolar}, va = "{chance.choice([20, 60, 100])} V"',
            f'bjt = "pnp", {bipolar}, va = "50 V"',
            f'jfet = "n-channel", {channel}, idss = "6 mA", vp = "-2 V"',
            f'jfet = "p-channel", {channel}, idss = "4 mA", vp = "3 V"',
            f'mosfet = "n-channel", {channel}, k = "2 mA/V²", vth = "1.2 V"',
            f'mosfet = "p-channel", {channel}, k = "1 mA/V²", vth = "-1.5 V"',
            f'diode = "silicon", anode = "{a}", cathode = "{b}"',
        ]
    )


def _resistor(name: str, chance: Random, one: str, other: str) -> str:
    ohms = chance.choice([470, 1000, 4700, 10_000, 47_000, 220_000, 1_000_000])
    return f'{name} = {{ resistor = "{ohms}", between = ["{one}", "{other}"] }}'


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_random_circuits(chunk: int) -> None:
    size = CIRCUITS // CHUNKS
    solved = 0
    for seed in range(chunk * size, (chunk + 1) * size):
        bias = solve(random_circuit(seed))
        if isinstance(bias, Unsolved):
            assert bias.what
            assert bias.path
            continue
        assert isinstance(bias, Bias)
        solved += 1
        for point in bias.points:
            assert point.residual < 1e-12 * point.scale, seed
        _check_by_other_means(random_circuit(seed), bias, seed)
    assert solved >= LEAST_SOLVED * size - 1


def _check_by_other_means(circuit: Circuit, bias: Bias, seed: int) -> None:
    """Kirchhoff's law at every node, the resistors' currents taken anew from the node voltages; energy adds up."""
    point = bias.point
    total = dict.fromkeys(circuit.nodes, 0.0)
    for part in circuit.parts.values():
        if part.kind == "resistor":
            across = point.nodes[part.pins["first"]] - point.nodes[part.pins["second"]]
            current = across / float(part.values["resistance"].value)
            total[part.pins["first"]] += current
            total[part.pins["second"]] -= current
        elif part.name in point.devices:
            for pin, current in point.devices[part.name].currents.items():
                total[part.pins[pin]] += current
    for node, left in total.items():
        if node.startswith("n"):
            assert abs(left) < 1e-9 * point.scale, (seed, node)
    assert abs(sum(point.powers.values())) < 1e-9 * max(np.abs(list(point.powers.values()))), seed

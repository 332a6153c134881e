"""One inverse tells what the kernel tells: the answer with each element deleted, and contracted."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from derive.answers.exact import NoSolution, spectrum
from derive.errors import DescriptionError
from derive.proposal.influence import influence
from tests.asking import Asked
from tests.networks import Piece, circuit, random_active

ASKS = (
    'A: gain = { from = "n1", to = "n3" }', 'Z: impedance = { at = "n3" }', 'B: gain = { from = "n2", to = "n3" }',
)  # fmt: skip


@pytest.mark.parametrize("mix", [("bjt",), ("jfet", "transconductance"), ("opamp", "bjt")], ids=str)
@pytest.mark.parametrize("seed", range(3))
def test_agrees_with_the_kernel(mix: tuple[str, ...], seed: int) -> None:
    source = Random(f"influence {mix} {seed}")
    frequencies = np.array([20.0, 1e3, 2e4])
    while True:
        pieces = [Piece("signal", "Vs", ("n1", "gnd"), {}, "voltage"), *random_active(source, 3, mix)]
        try:
            asked = Asked(circuit(pieces, *ASKS))
            numbers, s = asked.ground.numbers, 2j * np.pi * frequencies
            found = {name: influence(inquiry, numbers, s) for name, inquiry in asked.inquiries.items()}
        except (DescriptionError, NoSolution, np.linalg.LinAlgError):
            continue
        break
    compared = 0
    for name, inquiry in asked.inquiries.items():
        network = inquiry.network
        for place, element in enumerate(found[name].names):
            for row, changed in (
                (found[name].deleted[place], network.delete(element)),
                (found[name].contracted[place], network.contract(element)),
            ):
                try:
                    expected = spectrum(replace(inquiry, network=changed), asked.ground.numbers).sample(frequencies)
                except NoSolution:
                    continue
                if not np.all(np.isfinite(row)):
                    continue  # both ends are held: such a limit is not offered
                if np.all(np.isfinite(expected)):
                    assert row == pytest.approx(expected, rel=1e-6, abs=1e-8)
                    compared += 1
    assert compared > 10

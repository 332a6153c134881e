"""Loops that nest: the return ratios with another source dead, by one inverse, against the kernel's exact ones."""

from __future__ import annotations

import pytest

from derive.answers.exact import NoSolution, spectrum
from derive.answers.inquire import return_ratio
from derive.explain.nesting import NESTS, nested
from tests.explain.random_loops import random_loop


@pytest.mark.parametrize("seed", range(15))
def test_every_pair_against_the_exact_return_ratio(seed: int) -> None:
    _, prepared = random_loop(seed)
    network, ground = prepared.network, prepared.ground
    found = {(n.of, n.dead): n for n in nested(network, ground.numbers, ground.spot)}
    sources = [e.name for e in network.elements if e.controlled]
    for of in sources:
        alive = spectrum(return_ratio(of, network, of), ground.numbers).at_frequency(ground.spot)
        for dead in sources:
            if of == dead:
                continue
            try:
                held = spectrum(return_ratio(of, network.delete(dead), of), ground.numbers).at_frequency(ground.spot)
            except NoSolution:
                continue
            if (of, dead) in found:
                assert found[of, dead].held == pytest.approx(held, rel=1e-6, abs=1e-9)
                assert found[of, dead].alive == pytest.approx(alive, rel=1e-6)
            elif abs(alive) > 1e-9:
                assert abs(held - alive) <= (NESTS + 1e-6) * abs(alive)

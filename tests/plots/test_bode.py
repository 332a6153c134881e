"""Plots: vector pages of the right size, the same bytes each time, sensible for all kinds of responses."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
import time
from dataclasses import replace

import numpy as np
import pytest

from derive.document.records import Curve, Plot
from derive.errors import Defect
from derive.plots.bode import draw
from derive.plots.traces import magnitude_scale, phase_scale, prepare

GRID = tuple(float(f) for f in np.geomspace(1, 1e6, 200))


def curve(name: str, function: object) -> Curve:
    values = tuple(complex(function(2j * np.pi * f)) for f in GRID)  # type: ignore[operator]
    return Curve(name, GRID, values)  # type: ignore[arg-type]


def pole(s: complex) -> complex:
    return -10 / (1 + s / 6e4)


def plot(*curves: Curve, unit: str = "V/V") -> Plot:
    return Plot("gain", (), unit, curves, (20.0, 2e4), 1e3, (1.0, 3e3), 0.05)


BOTH = plot(curve("exact", pole), curve("approximate", lambda _: -10.0))
CASES = {
    "both": BOTH,
    "one curve": plot(curve("exact", pole)),
    "flat": plot(curve("exact", lambda s: 1.0 + 1e-9 * abs(s))),
    "ohms": plot(curve("exact", lambda s: 1e6 / (1 + s / 300)), unit="Ω"),
    "flat ohms": plot(curve("exact", lambda _: 4700.0), unit="Ω"),
    "never agrees": replace(BOTH, agree=None),
    "agrees everywhere": replace(BOTH, agree=(0.0, float("inf"))),
    "spot at zero": replace(BOTH, spot=0.0),
    "band outside": replace(BOTH, band=(1e-3, 1e9)),
    "siemens": plot(curve("exact", lambda s: 1e-6 + s * 1e-12), unit="S"),
    "wild": plot(curve("exact", pole), curve("approximate", lambda s: 1e9 / s)),
    "zero and infinite samples": plot(Curve("exact", (0.0, 1.0, 10.0, 100.0), (0j, 1 + 0j, complex("inf"), 2 + 0j))),
}


@pytest.mark.parametrize("name", CASES)
def test_draws(name: str) -> None:
    page = draw(CASES[name])
    assert page.startswith(b"%PDF")
    assert b"/Subtype /Image" not in page
    width, height = (float(part) for part in re.search(rb"MediaBox \[ ?0 0 ([0-9.]+) ([0-9.]+)", page).groups())  # type: ignore[union-attr]
    assert width == pytest.approx(170 / 25.4 * 72, abs=0.5)
    assert 65 < height / 72 * 25.4 < 80


def test_same_bytes_in_another_process() -> None:
    code = (
        "import sys, pickle, hashlib; from derive.plots.bode import draw;"
        "print(hashlib.sha256(draw(pickle.load(sys.stdin.buffer))).hexdigest())"
    )
    import pickle

    digests = {hashlib.sha256(draw(BOTH)).hexdigest()}
    for seed in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", code], input=pickle.dumps(BOTH), capture_output=True, check=True, timeout=120,
            env={"PYTHONHASHSEED": seed, "PATH": "/usr/bin:/bin"},
        )  # fmt: skip
        digests.add(run.stdout.decode().strip())
    assert len(digests) == 1


def test_no_date_and_no_program_in_the_file() -> None:
    page = draw(BOTH)
    assert b"CreationDate" not in page
    assert b"Producer" not in page


def test_an_inverting_stage_starts_at_plus_180_and_both_curves_lie_together() -> None:
    traces = prepare(BOTH, decibels=True)
    assert traces[0].phase[0] == pytest.approx(180, abs=1)
    assert abs(traces[1].phase[0] - traces[0].phase[0]) < 1
    assert np.all(np.diff(traces[0].phase) < 0)


def test_a_flat_response_keeps_wide_axes() -> None:
    traces = prepare(CASES["flat"], decibels=True)
    magnitude, phase = magnitude_scale(traces, decibels=True), phase_scale(traces)
    assert magnitude.high - magnitude.low >= 3
    assert phase.high - phase.low >= 10


def test_a_wild_approximation_does_not_crush_the_exact_curve() -> None:
    traces = prepare(CASES["wild"], decibels=True)
    scale = magnitude_scale(traces, decibels=True)
    exact = traces[0].magnitude
    assert scale.high - scale.low < (exact.max() - exact.min()) + 2 * 60


def test_a_curve_without_samples_is_a_defect() -> None:
    with pytest.raises(Defect):
        draw(plot(Curve("exact", (0.0,), (1 + 0j,))))
    with pytest.raises(Defect):
        draw(plot())


def test_is_quick() -> None:
    draw(BOTH)
    start = time.process_time()
    draw(BOTH)
    assert time.process_time() - start < 1.0, "about 0.3 s on the machine where it was written"

"""Plots: vector pages of the right size, the same bytes each time, sensible for all kinds of responses."""

from __future__ import annotations

import hashlib
import pickle
import re
import shutil
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from derive.document.records import Curve, Plot
from derive.errors import Defect
from derive.plots.agreement import reach_words
from derive.plots.bode import draw
from derive.plots.traces import emptiness, magnitude_scale, phase_scale, prepare

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


ZERO = Curve("exact", GRID, (0j,) * len(GRID))
INFINITE = Curve("exact", GRID, (complex("inf"),) * len(GRID))
NOTHING = Curve("approximate", GRID, (0j,) * len(GRID))


def test_a_curve_that_cannot_be_drawn_is_said_to_be_so() -> None:
    assert emptiness(plot(ZERO)) == ("exact: zero everywhere",)
    assert emptiness(plot(INFINITE)) == ("exact: infinite everywhere",)
    assert emptiness(plot(Curve("exact", (0.0,), (1 + 0j,)))) == ("exact: fewer than two finite values",)
    assert emptiness(BOTH) == ()
    for curves in ((ZERO,), (INFINITE,), (ZERO, NOTHING), (curve("exact", pole), NOTHING)):
        assert draw(plot(*curves)).startswith(b"%PDF")


def test_zero_and_infinite_samples_are_left_out() -> None:
    only = prepare(CASES["zero and infinite samples"], decibels=True)[0]
    assert only.frequency.tolist() == [1.0, 100.0]


def test_a_plot_without_curves_is_a_defect() -> None:
    with pytest.raises(Defect):
        draw(plot())


def test_letters_are_true_type() -> None:
    page = draw(BOTH)
    assert b"/FontFile2" in page
    assert b"/Type3" not in page


def test_nothing_but_silence_while_drawing() -> None:
    """The library that cuts the fonts warns of their dates, which is no matter of the user's."""
    code = "import sys, pickle; from derive.plots.bode import draw; draw(pickle.load(sys.stdin.buffer))"
    run = subprocess.run([sys.executable, "-c", code], input=pickle.dumps(BOTH), capture_output=True, check=True,
                         timeout=120, env={"PATH": "/usr/bin:/bin"})  # fmt: skip
    assert (run.stdout, run.stderr) == (b"", b"")


@pytest.mark.parametrize(("low", "high", "words"), [
    (0.0, 19.1e3, "up to 19.1 kHz"),
    (0.312, 9.87e6, "from 312 mHz to 9.87 MHz"),
    (24.6, float("inf"), "from 24.6 Hz up"),
    (0.0, float("inf"), "at all frequencies shown"),
])  # fmt: skip
def test_the_strip_states_the_true_limits(low: float, high: float, words: str) -> None:
    assert reach_words(low, high) == words
    assert draw(replace(BOTH, agree=(low, high))).startswith(b"%PDF")


def test_all_letters_lie_on_the_page(tmp_path: Path) -> None:
    """Also those of the last tick, where the axis ends at a decade."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not on this machine")
    grid = tuple(float(f) for f in np.geomspace(1, 1e8, 50))
    wide = replace(BOTH, curves=(Curve("exact", grid, (1 + 0j,) * 50),), agree=(0.1, 1e9))
    (tmp_path / "plot.pdf").write_bytes(draw(wide))
    run = subprocess.run(["pdftotext", "-bbox", "plot.pdf", "-"], cwd=tmp_path, capture_output=True, check=True,
                         timeout=60)  # fmt: skip
    ends = [float(end) for end in re.findall(r'xMax="([0-9.]+)"', run.stdout.decode())]
    starts = [float(start) for start in re.findall(r'xMin="([0-9.]+)"', run.stdout.decode())]
    assert "MHz" in run.stdout.decode()
    assert min(starts) >= 0
    assert max(ends) <= 170 / 25.4 * 72


def test_is_quick() -> None:
    draw(BOTH)
    start = time.process_time()
    draw(BOTH)
    assert time.process_time() - start < 3.0, "about 0.3 s on the machine where it was written"

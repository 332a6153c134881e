"""Plots of return ratios: vector pages, the same bytes each time, sensible at the ends of what can be asked."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from derive.document.records import Curve, Locus, LoopPlot, Mark, Plot, PolarPlot, RootMap
from derive.errors import Defect
from derive.plots.picture import picture
from derive.plots.polar import LEAST, _Radius

GRID = tuple(float(f) for f in np.geomspace(1, 1e7, 300))
CURVE = Curve("exact", GRID, tuple(complex(1e3 / (1 + 1j * f / 1e3) / (1 + 1j * f / 1e6)) for f in GRID))
PLOT = Plot("loop", (), "1", (CURVE,), (20.0, 2e4), 1e3)
LOOP = LoopPlot(PLOT, (Mark(7.9e5, 52.0),), (Mark(1e6, 3.0),))
LOCUS = Locus(CURVE, 1e3, (7.9e5,), 0)
ROOTS = RootMap((-1.0 + 0j, complex(-1e3, 1e4), complex(-1e3, -1e4), 2e5 + 0j, 0j), (-3e6 + 0j,))


@pytest.mark.parametrize(
    "plot",
    [
        LOOP,
        LoopPlot(PLOT, (), ()),
        LoopPlot(PLOT, (Mark(1e12, 10.0),), (Mark(1e-9, 2.0),)),
        PolarPlot("plane", (), LOCUS, ROOTS),
        PolarPlot("plane", (), LOCUS, None),
        PolarPlot("plane", (), None, ROOTS),
        PolarPlot("plane", (), None, RootMap((0j,), ())),
        PolarPlot("plane", (), Locus(Curve("exact", (1.0, 2.0), (1e-9 + 0j, 1e-9 + 0j)), 0.0, (), None), None),
    ],
)
def test_each_is_a_page_and_the_same_each_time(plot: LoopPlot | PolarPlot) -> None:
    first = picture(plot)
    assert first.startswith(b"%PDF")
    assert first == picture(plot)


def test_nothing_to_draw_is_a_defect() -> None:
    with pytest.raises(Defect):
        picture(PolarPlot("plane", (), None, None))
    with pytest.raises(Defect):
        picture(LoopPlot(Plot("loop", (), "1", (), (1.0, 2.0), 1.0), (), ()))


def test_angles_are_true_and_distances_monotonic() -> None:
    """So that the curve drawn goes round -1 as often as the curve itself."""
    radius = _Radius(LEAST, 1e4)
    sizes = np.geomspace(1e-6, 1e4, 200)
    assert np.all(np.diff(radius.of(sizes)) > 0)
    assert radius.of(1e4) == pytest.approx(1)
    for angle in (0.1, 2.0, -3.0, pi):
        places = radius.place(sizes * np.exp(1j * angle))
        assert np.allclose(np.angle(places * np.exp(-1j * angle)), 0, atol=1e-9)
    assert radius.place([0j])[0] == 0


def test_every_letter_has_a_glyph(recwarn: pytest.WarningsRecorder) -> None:
    picture(PolarPlot("plane", (), None, RootMap((-1e-20 + 0j, -1e20 + 0j), ())))
    picture(LoopPlot(replace(PLOT, band=(1e15, 1e18)), (), (Mark(1e6, 3e12),)))
    assert not [w for w in recwarn if "Glyph" in str(w.message)]

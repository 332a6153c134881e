"""Sliders: the script's numbers are the kernel's, at several places; its text is the page's own."""

from __future__ import annotations

import json
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from derive.algebra.ring import evaluate
from derive.algebra.spectrum import from_coefficients
from derive.answers.exact import spectrum
from derive.live.recognise import readings
from derive.live.records import Live, Recipe, Spot
from derive.live.values import Bench
from derive.web.page import source
from derive.web.words import printed
from derive.words import Reading
from tests.web import samples

NAMES = ["tide_gauge_low_pass", "rain_gauge_stage"]
PLACES = [(1.0, 1.0, 1.0), (3.1, 0.2, 0.5), (0.11, 9.5, 1.7), (0.77, 1.03, 8.0)]
WITHIN = 1e-9


def script_of(name: str) -> str:
    """The script of a page's sliders, as it stands in the page."""
    found = re.findall(r"<script>\n(.*?)</script>", samples.page(name), re.DOTALL)
    return next(text for text in found if "const model" in text)


def placed(live: Live, factors: tuple[float, ...]) -> list[float]:
    return [slider.value * factor for slider, factor in zip(live.sliders, factors, strict=False)]


@pytest.mark.parametrize("name", NAMES)
def test_the_script_computes_what_python_does(name, engine):
    live = samples.live(name)
    assert live is not None
    recipes = recipes_in_order(name)
    assert len(recipes) > 20
    places = [placed(live, factors) for factors in PLACES]
    found = engine(f"{script_of(name)}\nconsole.log(JSON.stringify({json.dumps(places)}.map(evaluate)));")
    for values, numbers in zip(places, found, strict=True):
        bench = Bench(tuple(values), live.responses, live.spot)
        for recipe, number in zip(recipes, numbers, strict=True):
            expected = complex(bench.at(recipe))
            assert abs(complex(*number) - expected) <= WITHIN * abs(expected)


def recipes_in_order(name: str) -> list[Recipe]:
    """The recipes of the readings that follow, in the order in which these stand on the page."""
    live = samples.live(name)
    assert live is not None
    found = [live.found.get(id(reading)) for reading in samples.page_readings(name)]
    return [entry.recipe for entry in found if entry is not None and entry.recipe is not None]


@pytest.mark.parametrize("name", NAMES)
def test_exact_answers_follow_as_the_kernel_says(name):
    """The response with sliders against the kernel asked again with the other numbers."""
    live, prepared = samples.live(name), samples.prepared(name)
    assert live is not None
    frequencies = (float(prepared.ground.band[0]), live.spot, float(prepared.ground.band[1]))
    for derivation in samples.analysis(name).derivations:
        moved = next(plot for plot in live.plots if plot.stem == f"plot-{derivation.question.name}")
        for factors in PLACES:
            values = placed(live, factors)
            numbers = dict(prepared.ground.numbers)
            numbers |= {slider.name: Fraction(value) for slider, value in zip(live.sliders, values, strict=True)}
            other = spectrum(derivation.exact.inquiry, numbers)
            for frequency in frequencies:
                bench = Bench(tuple(values), live.responses, frequency)
                expected = other.at_frequency(frequency)
                assert abs(bench.at(Spot(moved.exact)) - expected) <= WITHIN * abs(expected)


@pytest.mark.parametrize("name", ["rain_gauge_stage"])
def test_approximate_answers_follow_their_own_ratio(name):
    live, prepared = samples.live(name), samples.prepared(name)
    assert live is not None
    checked = 0
    for derivation in samples.analysis(name).derivations:
        moved = next(plot for plot in live.plots if plot.stem == f"plot-{derivation.question.name}")
        if moved.approximate is None or derivation.approximate is None:
            continue
        ratio = derivation.approximate.reduced.ratio
        assert ratio is not None
        for factors in PLACES:
            values = placed(live, factors)
            numbers = dict(prepared.ground.numbers)
            numbers |= {slider.name: Fraction(value) for slider, value in zip(live.sliders, values, strict=True)}
            ring = ratio.ring
            bases = ring.values(numbers, Fraction(0))
            sides = [[evaluate(c, bases) for c in ring.by_powers_of_s(side)] for side in (ratio.above, ratio.below)]
            expected = from_coefficients(*sides).at_frequency(live.spot)
            found = Bench(tuple(values), live.responses, live.spot).at(Spot(moved.approximate))
            assert abs(found - expected) <= WITHIN * abs(expected)
            checked += 1
    assert checked >= 4


@pytest.mark.parametrize("name", NAMES)
def test_at_the_description_every_number_is_its_own(name):
    """Each recipe gives at the description's values what is printed."""
    live = samples.live(name)
    assert live is not None
    bench = Bench(tuple(slider.value for slider in live.sliders), live.responses, live.spot)
    count = 0
    for reading in readings(samples.document(name)):
        found = live.found.get(id(reading))
        if found is not None and found.recipe is not None:
            value = bench.at(found.recipe)
            assert abs(value - reading.value) <= WITHIN * abs(reading.value)
            assert printed(Reading(value, reading.unit, reading.digits, reading.style)) == printed(reading)
            count += 1
    assert count > 20


@pytest.mark.parametrize("name", NAMES)
def test_answers_follow_and_the_bias_point_stays(name):
    live, found = samples.live(name), samples.analysis(name)
    assert live is not None
    followed = [entry.recipe for entry in live.found.values() if entry.recipe is not None]
    assert all(Spot(plot.exact) in followed for plot in live.plots)
    bias = [reading for reading in readings(samples.document(name)) if reading.unit == "A" and reading.style == "plain"]
    assert all(live.found[id(reading)].recipe is None for reading in bias)
    assert bias or found.bias is None or name == "tide_gauge_low_pass"


UNITS = ["Ω", "F", "V/V", "1", "Hz", "s", "s^2", "%", "°", "1/s", "S"]
VALUES = st.one_of(
    st.floats(1e-21, 1e20), st.floats(-1e6, 1e6), st.sampled_from([0.0, 999.96, 9.9995e5, 1e-6, 99995.0, 0.5, 2.5e-3])
)


def test_the_script_prints_as_python_does(engine):
    """Many numbers at once, so that the engine starts once."""
    cases: list[tuple[complex, str, int, str]] = []

    @given(VALUES, VALUES, st.sampled_from(UNITS), st.integers(1, 6), st.sampled_from(["plain", "magnitude", "stated"]))
    @settings(max_examples=500, deadline=None, database=None)
    def gather(real, imag, unit, digits, style):
        if unit == "°":
            real, imag = real % 720, imag % 720
        cases.append((complex(real, imag if style == "magnitude" else 0.0), unit, digits, style))

    gather()
    data = [[[value.real, value.imag], unit, digits, style] for value, unit, digits, style in cases]
    runtime = f"const model={{spot:1}};\n{source('calculus.js')}\n{source('live.js')}"
    found = engine(f"{runtime}\nconsole.log(JSON.stringify({json.dumps(data)}.map(c=>printed(...c))));")
    for (value, unit, digits, style), text in zip(cases, found, strict=True):
        assert text == printed(Reading(value, unit, digits, style)), (value, unit, digits, style)


RESET = "setTimeout(()=>document.querySelector('button[type=reset]').click(),300);"
FIRST = "const i=document.querySelector('.sliders input');"
MOVE = FIRST + "i.value=0.3;i.dispatchEvent(new Event('input',{bubbles:true}));"


def numbers_in(dom: str) -> dict[int, str]:
    return {int(n): re.sub("<[^>]*>", "", text)
            for n, text in re.findall(r'<span class="n[^"]*" data-n="(\d+)">(.*?)</span>', dom)}  # fmt: skip


def test_in_the_browser_numbers_and_curves_move_and_come_back(browser):
    name = "tide_gauge_low_pass"
    live = samples.live(name)
    assert live is not None
    still = browser.dom(samples.page(name))
    moved = browser.dom(samples.page(name), MOVE)
    back = browser.dom(samples.page(name), MOVE + RESET)
    values = tuple(s.value * (10**0.3 if place == 0 else 1) for place, s in enumerate(live.sliders))
    bench = Bench(values, live.responses, live.spot)
    shown = numbers_in(moved)
    compared = 0
    for place, reading in enumerate(samples.page_readings(name)):
        found = live.found.get(id(reading))
        if found is not None and found.recipe is not None:
            wanted = Reading(complex(bench.at(found.recipe)), reading.unit, reading.digits, reading.style)
            assert shown[place] == printed(wanted)
            compared += 1
        else:
            assert shown[place] == printed(reading)
    assert compared > 20
    assert numbers_in(back) == numbers_in(still) != shown
    curves = [re.findall(r'<path d="([^"]*)"', dom) for dom in (still, moved, back)]
    assert curves[0] == curves[2] != curves[1]
    assert 'class="varied"' in moved
    assert 'class="varied"' not in back.replace('class=""', "")


def test_without_scripts_the_page_stands_complete(browser):
    page = samples.page("tide_gauge_low_pass")
    bare = re.sub(r"<script>.*?</script>", "", page, flags=re.DOTALL)
    dom = browser.dom(bare)
    assert re.search(r"<form[^>]* hidden", dom)
    assert '<p class="folding" hidden' in dom
    assert '<details class="fold"' in dom
    assert len(re.findall(r'<details class="fold"[^>]* open', dom)) == dom.count('class="fold"')
    assert numbers_in(dom) == numbers_in(browser.dom(page))

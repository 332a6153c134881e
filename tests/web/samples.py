"""Worked examples and a sheet with sliders, derived once for all tests of pages."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from derive.circuit.records import Circuit
from derive.derivation.analyse import Prepared, derive_all, prepare
from derive.derivation.analysis import Analysis
from derive.description.reader import read
from derive.document.compose import compose
from derive.document.records import Document
from derive.live.recognise import live_of
from derive.live.records import Live
from derive.pipeline import devices_of
from derive.sketch import Missing, sketch
from derive.typeset.mentions import spelling_of
from derive.web.page import Renderer, render
from derive.web.words import Speaker
from derive.words import Reading

WORKED = Path(__file__).parents[2] / "worked"
VARIED = {
    "tide_gauge_low_pass": ("R1", "C2"),
    "rain_gauge_stage": ("Re", "Rc", "Rs"),
    "tide_gauge_mirror": (),
    "echo_sounder_amplifier": (),
}
DRAWN = ("tide_gauge_low_pass",)


@cache
def circuit(name: str) -> Circuit:
    found = read(WORKED / f"{name}.toml")
    return replace(found, about=replace(found.about, vary=VARIED[name]))


@cache
def prepared(name: str) -> Prepared:
    return prepare(circuit(name))


@cache
def analysis(name: str) -> Analysis:
    return derive_all(prepared(name))


@cache
def document(name: str) -> Document:
    drawn = sketch(circuit(name), analysis(name).bias) if name in DRAWN else None
    shown = drawn.why if isinstance(drawn, Missing) else drawn
    return compose(analysis(name), ("Confirmed.",), {"derive": "0"}, None, shown)


@cache
def live(name: str) -> Live | None:
    return live_of(analysis(name), document(name))


@cache
def page_readings(name: str) -> tuple[Reading, ...]:
    """The readings in the order in which the page counts them."""
    found = analysis(name)
    speaker = Speaker(spelling_of(document(name), found.network.symbols, devices_of(found)))
    Renderer(speaker, live(name)).page(document(name), "")
    return tuple(speaker.readings)


@cache
def page(name: str) -> str:
    found = analysis(name)
    return render(document(name), found.network.symbols, devices_of(found), live=live(name))

"""Sections of noise and distortion: what stands on the page and in the record."""

from __future__ import annotations

import json

import pytest

from derive.pipeline import make
from tests.networks import circuit

PARTS = """Vs = { signal = "voltage", between = ["src", "gnd"], offset = "1.1 V" }
Rs = { resistor = "47 kΩ", between = ["src", "b"] }
Vcc = { supply = "12 V", at = "vcc" }
Rc = { resistor = "4.7 kΩ", between = ["vcc", "out"] }
Q1 = { bjt = "npn", base = "b", emitter = "e", collector = "out", beta = 200, va = "80 V", cmu = "4 pF" }
Re = { resistor = "220 Ω", between = ["e", "gnd"] }"""
ASKED = (
    'N: noise = { at = "out", referred_to = "src", source = "Rs" }',
    'D: distortion = { to = "out", amplitude = "10 mV rms" }',
)


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return make(circuit(PARTS, *ASKED), pdf=False).files


def test_the_page_has_both_sections(files: dict[str, bytes]) -> None:
    page = files["worksheet.tex"].decode()
    for words in ("noise at", "harmonics at", "Noise figure", "How far this holds", "What the loop takes away"):
        assert words in page
    assert {"plot-N.pdf", "plot-D.pdf"} <= files.keys()
    assert "and noise are outside" not in " ".join(page.split())


def test_the_record_adds_up(files: dict[str, bytes]) -> None:
    record = json.loads(files["record.json"])["studies"]
    noise, distortion = record["N"], record["D"]
    assert sum(s["share"] for s in noise["sources"]) == pytest.approx(1)
    assert sum(s["density"] ** 2 for s in noise["sources"]) == pytest.approx(noise["density"] ** 2)
    assert sum(s["band"] ** 2 for s in noise["sources"]) == pytest.approx(noise["band"] ** 2)
    for order in ("second", "third"):
        whole = complex(*distortion[order])
        assert sum(complex(*s[order]) for s in distortion["by"]) == pytest.approx(whole)
    assert distortion["hd2"] == pytest.approx(abs(complex(*distortion["second"]) / complex(*distortion["fundamental"])))


def test_same_bytes_again(files: dict[str, bytes]) -> None:
    assert make(circuit(PARTS, *ASKED), pdf=False).files == files


def test_a_warning_beyond_what_can_be_told() -> None:
    """A volt into a bipolar is no small signal."""
    parts = PARTS.replace("220 Ω", "1 Ω")
    page = make(circuit(parts, ASKED[1].replace("10 mV", "1 V")), pdf=False).files["worksheet.tex"].decode()
    assert "no longer weakly nonlinear" in " ".join(page.split())


@pytest.mark.tex
def test_the_page_can_be_set() -> None:
    assert "worksheet.pdf" in make(circuit(PARTS, *ASKED), opinion=False).files

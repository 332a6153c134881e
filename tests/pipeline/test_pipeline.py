"""The stages joined: what stops a sheet, what the record holds, what the Python interface gives."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

import derive
from derive import pipeline
from derive.algebra.spectrum import Spectrum
from derive.errors import Defect
from derive.expression.parse import parse_expression
from derive.expression.tree import evaluate
from derive.opinion.verdict import Verdict

WORKED = Path(__file__).parents[2] / "worked"


@pytest.fixture(scope="module")
def hydrophone():
    circuit = derive.read(WORKED / "harbour_hydrophone.toml")
    return circuit, derive.analyse(circuit)


@pytest.fixture(scope="module")
def record(hydrophone):
    from derive.record import record

    return json.loads(json.dumps(record(hydrophone[1], {"derive": "0"}), allow_nan=False))


def test_the_interface_answers_what_the_analysis_answers(hydrophone):
    circuit, analysis = hydrophone
    for derivation in analysis.derivations:
        assert derive.answer(circuit, derivation.question.name).spectrum == derivation.exact.spectrum


def test_the_record_holds_what_is_promised(record, hydrophone):
    answers = record["answers"]
    assert list(answers) == ["A", "Zin", "Zout", "T", "A_tap"]
    assert {answer["kind"] for answer in answers.values()} == {"gain", "impedance", "return_ratio", "bootstrap"}
    assert sum(share["share"][0] for share in answers["Zin"]["budget"]) == pytest.approx(1, abs=1e-9)
    assert sum(share["share"][1] for share in answers["Zin"]["budget"]) == pytest.approx(0, abs=1e-9)
    product = 1 + 0j
    for link in answers["A"]["chain"]:
        product *= complex(*link["spot"])
    assert product == pytest.approx(complex(*answers["A"]["spot"]["exact"]), rel=1e-9)
    assert record["feedback"]["gm_Q2"]["sense"] == "negative"
    assert record["sha256"] == hydrophone[0].source.sha256


def test_the_recorded_texts_are_the_recorded_numbers(record, hydrophone):
    """Exact coefficients and approximate forms, read back by the grammar, give the numbers beside them."""
    _, analysis = hydrophone
    numbers = {**analysis.ground.numbers}
    checked = 0
    for name, answer in record["answers"].items():
        s = 2j * 3.141592653589793 * answer["spot"]["frequency"]
        values = {key: float(value) for key, value in numbers.items()} | {"s": s}
        if answer["exact"]["numerator"] is not None:
            sides = [
                sum(evaluate(parse_expression(text), values) * s**k for k, text in enumerate(answer["exact"][side]))
                for side in ("numerator", "denominator")
            ]
            assert sides[0] / sides[1] == pytest.approx(complex(*answer["spot"]["exact"]), rel=1e-6), name
            checked += 1
        if answer["approximate"] is not None:
            value = evaluate(parse_expression(answer["approximate"]), values)
            assert value == pytest.approx(complex(*answer["spot"]["approximate"]), rel=1e-6), name
            checked += 1
    assert checked >= 8


def test_every_dropped_term_is_justified(record):
    dropped = [d for answer in record["answers"].values() for d in answer["dropped"]]
    assert dropped
    for item in dropped:
        powers = [Fraction(power) for power in item["by"].values()]
        assert min(powers) >= 0
        assert sum(powers) >= 1


def test_a_disagreeing_second_opinion_stops_the_sheet(monkeypatch):
    class Contrary:
        def collect(self, spectra, _timeout):
            return [Verdict(name, "disagrees", "planted") for name in spectra]

    monkeypatch.setattr(pipeline, "start", lambda *_: Contrary())
    with pytest.raises(Defect, match="planted"):
        pipeline.make(derive.read(WORKED / "tide_gauge_low_pass.toml"), pdf=False)


def test_a_missing_second_opinion_is_said_on_the_sheet(monkeypatch):
    class Silent:
        def collect(self, spectra, _timeout):
            return [Verdict(name, "not available", "planted silence") for name in spectra]

    monkeypatch.setattr(pipeline, "start", lambda *_: Silent())
    sheet = pipeline.make(derive.read(WORKED / "tide_gauge_low_pass.toml"), pdf=False)
    assert b"planted silence" in sheet.files["worksheet.tex"].replace(b"\n", b" ")
    assert b"confirmed by lcapy" not in sheet.files["worksheet.tex"]


def test_a_wrong_kernel_is_found_by_the_nodal_solution(monkeypatch):
    """A spectrum that is off by a part in ten thousand must not get on to a page."""
    import derive.answers.exact as exact

    original = exact.answer

    def slightly_wrong(*arguments):
        right = original(*arguments)
        wrong = tuple(c * Fraction(10001, 10000) for c in right.spectrum.numerator)
        return replace(right, spectrum=Spectrum(wrong, right.spectrum.denominator))

    monkeypatch.setattr("derive.derivation.derive.answer", slightly_wrong)
    with pytest.raises(Defect):
        derive.analyse(derive.read(WORKED / "tide_gauge_low_pass.toml"))

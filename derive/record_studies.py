"""Studies of noise and distortion as plain data for the archive.

Enters: a study. Leaves: a dictionary. Must not know: LaTeX, files. Densities are roots, in V/√Hz or A/√Hz.
"""

from __future__ import annotations

from math import isfinite, sqrt
from typing import Any

from derive.circuit.records import Distortion, Noise
from derive.derivation.records import Step
from derive.distortion.records import DistortionStudy
from derive.noise.records import NoiseStudy
from derive.spoken import spoken, spoken_formula


def study_record(study: NoiseStudy | DistortionStudy) -> dict[str, Any]:
    return _noise(study) if isinstance(study, NoiseStudy) else _distortion(study)


def _noise(study: NoiseStudy) -> dict[str, Any]:
    ask = study.study.ask
    assert isinstance(ask, Noise)
    referred, figure = study.referred, study.figure
    return {
        "kind": "noise",
        "at": ask.at,
        "frequency": study.frequency,
        "temperature": study.temperature,
        "density": sqrt(study.density),
        "band": sqrt(study.band),
        "everywhere": None if study.everywhere is None else sqrt(study.everywhere),
        "sources": [
            {
                "source": part.source.key,
                "kind": part.source.kind,
                "law": spoken_formula(part.source.law),
                "corner": part.source.corner,
                "own": sqrt(part.source.at(study.frequency)),
                "transfer": _pair(part.transfer),
                "density": sqrt(part.density),
                "share": part.share,
                "band": sqrt(part.band),
                "steps": [_step(step) for step in part.steps],
            }
            for part in study.parts
        ],
        "input": None
        if referred is None
        else {"signal": referred.signal, "density": sqrt(referred.density), "unit": f"{referred.unit}/√Hz"},
        "figure": None
        if figure is None
        else {
            "resistor": figure.resistor,
            "factor": figure.factor if isfinite(figure.factor) else None,
            "voltage": figure.voltage,
            "current": figure.current,
            "best": figure.best,
            "least": figure.least,
        },
        "told": [spoken(words) for words in study.told],
    }


def _distortion(study: DistortionStudy) -> dict[str, Any]:
    ask = study.study.ask
    assert isinstance(ask, Distortion)
    size = abs(study.fundamental)
    loop = study.loop
    return {
        "kind": "distortion",
        "to": ask.to,
        "driven_by": ask.driven_by,
        "frequency": float(ask.frequency),
        "peak": study.peak,
        "fundamental": _pair(study.fundamental),
        "second": _pair(study.second),
        "third": _pair(study.third),
        "hd2": abs(study.second) / size,
        "hd3": abs(study.third) / size,
        "trusted": study.trusted if isfinite(study.trusted) else None,
        "by": [
            {
                "source": share.source.key,
                "bends": share.source.element,
                "swing": abs(share.swing),
                "second": _pair(share.second),
                "third": _pair(share.third),
                "own": _pair(share.own),
            }
            for share in study.shares
        ],
        "loop": None
        if loop is None
        else {"of": loop.of, "at": _pair(loop.at), "at_double": _pair(loop.at_double), "bypass": _pair(loop.bypass)},
        "steps": [_step(step) for step in study.algebra],
        "told": [spoken(words) for words in study.told],
    }


def _step(step: Step) -> dict[str, Any]:
    lines = [
        f"{'' if x.left is None else spoken_formula(x.left) + ' '}{x.sign} {spoken_formula(x.right)}"
        for x in step.lines
    ]
    return {
        "rule": spoken(step.rule),
        "algebra": lines,
        "number": spoken(step.number),
        "note": spoken(step.note),
        "kind": step.kind,
        "evidence": step.evidence,
    }


def _pair(value: complex) -> list[float] | None:
    return [value.real, value.imag] if isfinite(value.real) and isfinite(value.imag) else None

"""The record of a sheet: everything that was derived, as plain data for an archive.

Enters: the analysis. Leaves: a dictionary of text, numbers, lists and dictionaries.
Must not know: LaTeX, files. The format is described in DEVELOPERS.md.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite, isinf
from typing import Any

from derive.algebra.convert import monomial_tree, polynomial_tree
from derive.algebra.ratio import Ratio
from derive.algebra.ring import Polynomial, Ring
from derive.answers.records import Exact
from derive.approximate.error import Error
from derive.approximate.records import Approximate, Dropped, Pruned
from derive.circuit.records import Bootstrap, Gain, Impedance, ReturnRatio
from derive.derivation.analysis import Analysis
from derive.derivation.records import Budget, Chain, Derivation, Step
from derive.derivation.wording import label, verdict
from derive.expression.text import write
from derive.expression.tree import quotient
from derive.network.records import Symbol
from derive.record_bias import bias_record
from derive.record_hand import hand_record
from derive.record_practice import practice_record
from derive.record_short import certified_record, short_record
from derive.record_studies import study_record
from derive.spoken import spoken, spoken_formula
from derive.words import Line

FORMAT = 1
KINDS = {Gain: "gain", Impedance: "impedance", ReturnRatio: "return_ratio", Bootstrap: "bootstrap"}
LONGEST = 400
"""Terms above and below together up to which an exact answer is written out in the record."""


def record(analysis: Analysis, versions: Mapping[str, str]) -> dict[str, Any]:
    """The record of a sheet, ready for JSON."""
    circuit = analysis.circuit
    about = circuit.about
    return {
        "format": FORMAT,
        "title": about.title,
        "band": [float(f) for f in about.band],
        "answers": {
            **{d.question.name: _answer(d, analysis) for d in analysis.derivations},
            **{f.question.name: {"kind": KINDS[type(f.question.ask)], "infinite": True} for f in analysis.infinite},
        },
        "response": {node: _pair(value) for node, value in (analysis.response or {}).items()},
        "feedback": {x.of: {"return_ratio": _pair(x.return_ratio), "sense": x.sense} for x in analysis.loops},
        "bias": bias_record(analysis.bias),
        "symbols": {name: _symbol(symbol) for name, symbol in analysis.network.symbols.items()},
        "assumptions": [_assumption(analysis, s.number) for s in analysis.statements],
        "hand": [hand_record(judged) for judged in analysis.hands],
        "studies": {study.study.name: study_record(study) for study in analysis.studies},
        **practice_record(analysis),
        "versions": dict(versions),
        "sha256": circuit.source.sha256,
    }


def _symbol(symbol: Symbol) -> dict[str, Any]:
    """``origin``: stated, assumed, solved at the bias point, converted from a data sheet; or computed by a formula."""
    stated = symbol.formula is None and symbol.origin == "stated"
    origin = symbol.origin if symbol.formula is None else "computed"
    return {"value": float(symbol.value), "unit": symbol.unit, "stated": stated, "origin": origin}


def _assumption(analysis: Analysis, number: int) -> dict[str, Any]:
    resolved = next(s for s in analysis.statements if s.number == number)
    statement = resolved.statement
    return {
        "id": label(number),
        "name": statement.name,
        "statement": statement.text,
        "because": statement.because,
        "proposed": statement.proposed,
        "for": list(statement.questions) or None,
        "ratio": None if resolved.ratio is None else float(resolved.ratio),
        "ratios": [float(generator.value) for generator in resolved.generators],
        "alike": [float(equality.value) for equality in resolved.equalities],
        "used": analysis.worst_alone(number) is not None,
        "worst_alone": _finite(analysis.worst_alone(number)),
        "verdict": verdict(resolved, analysis.worst_alone(number)),
    }


def _answer(derivation: Derivation, analysis: Analysis) -> dict[str, Any]:
    exact, reduced = derivation.exact, derivation.approximate
    spot: dict[str, Any] = {"frequency": float(analysis.ground.spot), "exact": _pair(derivation.spot)}
    if reduced is not None:
        spectrum = reduced.reduced.spectrum
        spot["approximate"] = None if spectrum is None else _pair(spectrum.at_frequency(analysis.ground.spot))
        key = "error_of_peak" if reduced.error.of_peak else "error"
        spot["error"] = None
        spot[key] = _finite(reduced.error.spot)
    found: dict[str, Any] = {
        "kind": KINDS[type(derivation.question.ask)],
        "unit": exact.inquiry.unit,
        "exact": _exact(exact),
        "poles": [_pair(p) for p in exact.spectrum.poles],
        "zeros": [_pair(z) for z in exact.spectrum.zeros],
        "approximate": _approximate(reduced),
        "spot": spot,
        "band": None if reduced is None else _band(reduced.error),
        "certified": None if reduced is None else certified_record(reduced.certified),
        "accuracy": None if derivation.proposal is None else derivation.proposal.accuracy,
        "proposal": None if derivation.proposal is None else derivation.proposal.outcome,
        "assumptions": [] if reduced is None else [label(e.statement) for e in reduced.effects],
        "effects": [] if reduced is None else _effects(reduced),
        "dropped": [] if reduced is None else [_dropped(d, analysis.ground.ring) for d in reduced.reduced.dropped],
        "pruned": [] if reduced is None else [_pruned(p) for p in reduced.reduced.pruned],
        "kept_whole": [] if reduced is None else [list(item) for item in reduced.reduced.kept_whole],
        "steps": [_step(s) for s in _steps(derivation)],
        "short": short_record(derivation.shortened),
    }
    if derivation.chain is not None and isinstance(derivation.question.ask, Gain | Bootstrap):
        found["chain"] = _chain(derivation.chain)
    if derivation.budget is not None and isinstance(derivation.question.ask, Impedance):
        found["budget"] = _budget(derivation.budget)
    return found


def _exact(exact: Exact) -> dict[str, Any]:
    if exact.ratio is None or sum(exact.ratio.counts) > LONGEST:
        return {"numerator": None, "denominator": None, "terms": list(exact.terms)}
    ring = exact.ratio.ring
    sides = [[_text(ring, c) for c in ring.by_powers_of_s(side)] for side in (exact.ratio.above, exact.ratio.below)]
    return {"numerator": sides[0] or ["0"], "denominator": sides[1], "terms": list(exact.terms)}


def _text(ring: Ring, polynomial: Polynomial) -> str:
    return write(polynomial_tree(ring, polynomial))


def _approximate(reduced: Approximate | None) -> str | None:
    if reduced is None or reduced.reduced.ratio is None:
        return None
    return ratio_text(reduced.reduced.ratio)


def ratio_text(ratio: Ratio) -> str:
    """A ratio as one expression of the grammar, in the symbols of the sheet and s."""
    above, below = (polynomial_tree(ratio.ring, side) for side in (ratio.above, ratio.below))
    return write(quotient(above, below))


def _band(error: Error) -> dict[str, Any]:
    holds = None if error.holds is None else [error.holds[0], _finite(error.holds[1])]
    pieces = [[low, _finite(high)] for low, high in error.pieces]
    return {"worst_error": _finite(error.worst), "at": error.at, "holds": holds, "holds_in": pieces}


def _effects(reduced: Approximate) -> list[dict[str, Any]]:
    return [
        {
            "assumption": label(effect.statement),
            "used": effect.used,
            "alone": _cost(effect.alone),
            "together": _cost(effect.together),
        }
        for effect in reduced.effects
    ]


def _cost(error: Error) -> dict[str, Any]:
    return {"spot": _finite(error.spot), "worst_error": _finite(error.worst), "at": error.at}


def _dropped(dropped: Dropped, ring: Ring) -> dict[str, Any]:
    return {
        "part": dropped.part,
        "power_of_s": dropped.power_of_s,
        "term": write(monomial_tree(ring, (0, *dropped.term[1:]))),
        "beside": write(monomial_tree(ring, (0, *dropped.dominated_by[1:]))),
        "beside_power_of_s": dropped.dominated_by[0],
        "by": {label(number): str(power) for number, power in dropped.powers},
    }


def _pruned(pruned: Pruned) -> dict[str, Any]:
    return {"part": pruned.part, "terms": pruned.count, "by": {label(n): str(power) for n, power in pruned.powers}}


def _steps(derivation: Derivation) -> tuple[Step, ...]:
    law = (derivation.budget.law,) if derivation.budget else ()
    return (
        *derivation.equations,
        *derivation.elimination,
        *derivation.result,
        *derivation.corners,
        *law,
        *derivation.approximations,
        *(derivation.shortened.steps if derivation.shortened else ()),
    )


def _step(step: Step) -> dict[str, Any]:
    return {
        "rule": spoken(step.rule),
        "algebra": [_line(line) for line in step.lines],
        "number": spoken(step.number),
        "note": spoken(step.note),
        "kind": step.kind,
        "evidence": step.evidence,
    }


def _line(line: Line) -> str:
    left = "" if line.left is None else spoken_formula(line.left) + " "
    return f"{left}{line.sign} {spoken_formula(line.right)}"


def _chain(chain: Chain) -> list[dict[str, Any]]:
    return [
        {
            "from": link.source,
            "to": link.to,
            "spot": _pair(link.spot),
            "approximate": _approximate(link.approximate),
        }
        for link in chain.links
    ]


def _budget(budget: Budget) -> list[dict[str, Any]]:
    return [
        {
            "part": share.part,
            "symbol": share.symbol,
            "follows": None if share.follows is None else _pair(share.follows),
            "controls": None if share.controls is None else _pair(share.controls),
            "share": _pair(share.share),
        }
        for share in budget.shares
    ]


def _pair(value: complex) -> list[float] | None:
    """Real and imaginary part; None for a value that is infinite (a pole at the spot)."""
    return [value.real, value.imag] if isfinite(value.real) and isfinite(value.imag) else None


def _finite(value: float | None) -> float | None:
    return None if value is None or isinf(value) else value

"""Results by hand as plain data for the record.

Enters: judgements. Leaves: dictionaries. Must not know: files, LaTeX.
"""

from __future__ import annotations

from math import isinf
from typing import Any

from derive.approximate.error import Error
from derive.derivation.wording import label
from derive.document.compose.verdict import diagnosis_words, headline
from derive.expression.text import write, write_relation
from derive.hand.verdicts import Finding, Judged
from derive.spoken import spoken


def hand_record(judged: Judged) -> dict[str, Any]:
    """One result by hand: what it says, how it compares, where it went wrong."""
    return {
        "of": judged.question.name,
        "says": judged.says,
        "name": judged.name,
        "verdict": headline(judged),
        "holds": judged.holds,
        "tolerance": judged.tolerance,
        **_finding(judged.result),
        "links": [
            {
                "line": each.link.line,
                "sign": each.link.sign,
                "expression": write(each.link.value),
                "holds": each.holds,
                **_finding(each.finding),
            }
            for each in judged.links
        ],
        "diagnosis": _diagnosis(judged),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "kind": finding.kind,
        "proof": finding.proof,
        "as": finding.read,
        "assumptions": [label(number) for number in finding.statements],
        "silent": [
            {
                "statement": write_relation(each.relation),
                "ratio": each.ratio,
                "worst_error": _finite(each.cost.worst),
            }
            for each in finding.silent
        ],
        **_error(finding.error),
        "inside": None if finding.inside is None else list(finding.inside),
    }


def _error(error: Error | None) -> dict[str, Any]:
    if error is None:
        return {"error": 0.0, "worst_error": 0.0, "at": None}
    return {"error": _finite(error.spot), "worst_error": _finite(error.worst), "at": error.at}


def _diagnosis(judged: Judged) -> dict[str, Any] | None:
    found = judged.diagnosis
    if found is None:
        return None
    repair = found.repair
    return {
        "slip": None if repair is None else repair.slip,
        "repaired": None if repair is None or repair.repaired is None else write(repair.repaired),
        "words": spoken(diagnosis_words(found)),
        "agree": [write_relation(going.relation) for going in found.agree],
        "disagree": [write_relation(each.going.relation) for each in found.disagree],
    }


def _finite(value: float) -> float | None:
    return None if isinf(value) else value

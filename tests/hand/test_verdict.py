"""Results by hand are judged rightly: textbook formulas, formulas written otherwise, chains, formulas with a slip."""

from __future__ import annotations

import time
from collections import Counter
from functools import cache
from random import Random

import pytest

from derive.hand.compare import COARSE
from derive.hand.judge import judge
from derive.hand.verdicts import Judged
from tests.hand.circuits import APPROXIMATE, EXACT, Known, matter_of, written
from tests.hand.rewriting import rewritten
from tests.hand.slipping import Wrong, costs_too_much, wrong_formulas

REWRITINGS = 500
RATE = 0.85
LONGEST_SECONDS = 10.0


@pytest.mark.parametrize("known", EXACT, ids=str)
def test_a_textbook_formula_is_right(known: Known) -> None:
    found = judge(matter_of(known), written(known.formula), known.formula)
    assert (found.result.kind, found.result.proof) == ("exact", "polynomials")
    assert found.holds
    assert found.diagnosis is None


@pytest.mark.parametrize("known", APPROXIMATE, ids=str)
def test_a_textbook_approximation_is_right_under_the_conditions_of_the_book(known: Known) -> None:
    """Stated in the file they are found as the reason; each set that is named gives the formula by itself."""
    found = judge(matter_of(known, stated=True), written(known.formula, "≈"), known.formula)
    assert found.result.kind == "stated"
    assert 0 < len(found.result.statements) <= len(known.assume)
    matter = matter_of(known, stated=True)
    reduced = dict(matter.stated)[found.result.statements]
    assert reduced.ratio == found.side.ratio
    assert found.holds == (found.result.error is not None and found.result.error.worst <= 0.05)


@pytest.mark.parametrize("known", APPROXIMATE, ids=str)
def test_what_a_textbook_approximation_makes_silently_is_found(known: Known) -> None:
    """Not stated in the file, the limits or ratios under which the formula is exactly the answer are told."""
    found = judge(matter_of(known), written(known.formula, "≈"), known.formula)
    assert found.result.kind == ("wrong" if costs_too_much(known) else "close")
    assert found.result.error is not None
    if found.result.error.spot > COARSE:
        # The book's conditions do not hold at the bias point of the test: no approximation any more.
        return
    assert found.result.silent
    assert found.diagnosis is None
    assert all(each.ratio is None or each.ratio > 1 for each in found.result.silent)


def test_no_right_formula_is_called_wrong() -> None:
    source = Random("rewritings")
    kinds: Counter[str] = Counter()
    for number in range(REWRITINGS):
        known = EXACT[number % len(EXACT)]
        tree = rewritten(known.tree, matter_of(known).ground.ring.names[1:], source, source.randrange(1, 7))
        found = judge(matter_of(known), written(tree), "")
        kinds[found.result.kind] += 1
        assert found.result.kind == "exact", (known.name, tree)
    assert kinds == {"exact": REWRITINGS}


@cache
def judged() -> list[tuple[Wrong, Judged, float]]:
    found = []
    for wrong in wrong_formulas():
        begun = time.monotonic()
        verdict = judge(matter_of(wrong.known, wrong.stated), written(wrong.tree, wrong.sign), "")
        found.append((wrong, verdict, time.monotonic() - begun))
    return found


def told(wrong: Wrong, found: Judged) -> bool:
    return (
        found.diagnosis is not None
        and found.diagnosis.repair is not None
        and found.diagnosis.repair.slip in wrong.slips
    )


def test_every_formula_with_a_slip_is_found_wrong() -> None:
    assert len(judged()) >= 120
    assert [str(wrong) for wrong, found, _ in judged() if found.result.kind != "wrong" or found.holds] == []


@pytest.mark.parametrize("half", ["tuned", "held out"])
def test_the_slip_that_was_made_is_told(half: str, record_property: pytest.RecordProperty) -> None:  # type: ignore[name-defined]
    """Prices of slips were set by looking at every second slip only; those between were counted, and never read.

    When this was written: 239 of 246 told in the half that was looked at, 238 of 246 in the other.
    """
    chosen = judged()[0 if half == "tuned" else 1 :: 2]
    hits = sum(told(wrong, found) for wrong, found, _ in chosen)
    record_property("rate", hits / len(chosen))
    print(f"{half}: {hits} of {len(chosen)}")
    assert hits >= RATE * len(chosen)


def test_every_kind_of_slip_is_among_them() -> None:
    kinds = Counter(wrong.slips[0] for wrong, _, _ in judged())
    expected = {
        "sign", "inverted", "reciprocal", "series", "parallel", "missing term", "extra", "gm", "factor", "symbol",
        "swap", "node", "unlifted", "lifted", "rail", "decibels",
    }  # fmt: skip
    assert set(kinds) >= expected


def test_a_repair_that_is_told_is_right() -> None:
    """The repaired formula, judged afresh, is exact, equal under the statements, or near."""
    for wrong, found, _ in judged():
        repair = found.diagnosis.repair if found.diagnosis else None
        if repair is not None and repair.repaired is not None:
            again = judge(matter_of(wrong.known, wrong.stated), written(repair.repaired, wrong.sign), "")
            assert again.result.kind == repair.finding.kind != "wrong", str(wrong)


def test_no_check_takes_long() -> None:
    assert max(seconds for _, _, seconds in judged()) < LONGEST_SECONDS

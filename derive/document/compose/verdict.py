"""What was found about a result by hand, in words: for the sheet and for the terminal.

Enters: findings, repairs. Leaves: words. Must not know: LaTeX, terminals.
"""

from __future__ import annotations

from derive.approximate.error import HOLDS_WITHIN
from derive.derivation.wording import error_words, holds_words, label, percent
from derive.description.hints import join_and
from derive.expression.dimension import in_words
from derive.expression.tree import ONE, Expr, Quotient, is_negative, negate, symbols
from derive.hand.silent import Silent
from derive.hand.verdicts import Diagnosis, Disagreement, Finding, Judged, Repair
from derive.words import Formula, Node, Reading, Words

PROOFS = {
    "polynomials": "both sides multiplied out are the same polynomials",
    "field": "at three random points modulo 2^61 - 1; a false equality passes with a chance below 1e-45",
    "digits": "to fifty digits at three random sets of numbers and frequencies",
}


def verdict_words(finding: Finding, tolerance: float, sign: str = "=", against: str = "the answer") -> Words:
    """The verdict on one side of a chain, in a sentence or two."""
    as_ = " in magnitude" if finding.read == "magnitude" else ""
    if finding.kind == "exact":
        assert finding.proof is not None
        return (f"Right: exactly equal to {against}{as_}, {PROOFS[finding.proof]}.",)
    assert finding.error is not None
    measured: Words = (*error_words(finding.error), ".")
    if finding.read == "decibels":
        return ("Wrong as a ratio; read in decibels: ", *measured)
    if tolerance == HOLDS_WITHIN and finding.kind != "wrong":
        measured = (*error_words(finding.error), "; ", *holds_words(finding.error), ".")
    if finding.kind == "stated":
        which = join_and(label(number) for number in finding.statements)
        words: Words = (f"Right under {which}: then exactly equal to the answer. ", *_capital(measured))
        if finding.error.worst > tolerance:
            words = (
                *words,
                " The algebra is right; the statements cost more than ",
                *percent(tolerance),
                " in the band.",
            )
        return words
    if finding.kind == "close":
        head = "A good approximation" if sign == "≈" else "Not equal, but a good approximation"
        return (f"{head} of {against}{as_}: ", *measured, *silent_words(finding.silent))
    words = (f"Wrong{as_}: ", *measured)
    if finding.silent:
        words = (f"Not within {100 * tolerance:g} % of {against}{as_}: ", *measured, *silent_words(finding.silent))
    if finding.inside is not None:
        low, high = (Reading(edge, "Hz", 2) for edge in finding.inside)
        words = (*words, " Of the band it holds only from ", low, " to ", high, ".")
    return words


def _capital(words: Words) -> Words:
    first = words[0]
    return (first[:1].upper() + first[1:], *words[1:]) if isinstance(first, str) else words


def silent_words(silent: tuple[Silent, ...]) -> Words:
    """The statements that were made without saying so, each with what it costs."""
    if not silent:
        return ()
    words: Words = (" It is exactly the answer for ",)
    for place, each in enumerate(silent):
        joint = "" if not place else " and " if place == len(silent) - 1 else ", "
        size: Words = () if each.ratio is None else (Reading(each.ratio, "1", 2), " here, ")
        cost = (" (", *size, "costs ", *percent(each.cost.worst), ")")
        words = (*words, joint, Formula(each.relation), *cost)
    return (*words, ".")


def limit_words(diagnosis: Diagnosis) -> Words:
    """The limits in which the answer is the result, which are too coarse here."""
    words: Words = ("It is exactly the answer",)
    if diagnosis.under:
        words = (*words, " under ", join_and(label(number) for number in diagnosis.under))
    words = (*words, " for ")
    for place, each in enumerate(diagnosis.limits):
        joint = "" if not place else " and " if place == len(diagnosis.limits) - 1 else ", "
        words = (*words, joint, Formula(each.relation), " (costs ", *percent(each.cost.worst), ")")
    return (*words, "; here that is too coarse.")


def diagnosis_words(diagnosis: Diagnosis) -> Words:
    """Where it went wrong."""
    unit: Words = ()
    if diagnosis.units is not None:
        unit = (f"The result is {in_words(diagnosis.units[0])}, and the answer is {in_words(diagnosis.units[1])}. ",)
    if diagnosis.repair is not None:
        return (*unit, *repair_words(diagnosis.repair), *_then(diagnosis.repair))
    if unit:
        return (*unit, "No single slip of the usual kinds explains it.")
    if diagnosis.limits:
        return limit_words(diagnosis)
    if not diagnosis.disagree:
        return ("No single slip of the usual kinds explains it.",)
    words: Words = ("No single slip of the usual kinds explains it.",)
    for each in diagnosis.disagree[:MOST_LIMITS]:
        words = (*words, " ", *_parting_words(each))
    if diagnosis.agree:
        words = (*words, " Both agree for ")
        for place, going in enumerate(diagnosis.agree[:MOST_LIMITS]):
            words = (*words, ", " if place else "", Formula(going.relation))
        words = (*words, ".")
    return words


MOST_LIMITS = 4


def _parting_words(each: Disagreement) -> Words:
    def side(value: Expr | str) -> Words:
        return (("zero" if value == "zero" else "infinity"),) if isinstance(value, str) else (Formula(value),)

    return (
        "For ",
        Formula(each.going.relation),
        " it comes to ",
        *side(each.hand),
        ", the answer to ",
        *side(each.right),
        ".",
    )


def repair_words(repair: Repair) -> Words:
    """The slip in a sentence."""
    here, there = repair.here, repair.there
    right = _promise(repair)
    match repair.slip:
        case "sign":
            return _sign_words(repair)
        case "reciprocal":
            what = "would be right" if repair.finding.kind in ("exact", "stated") else "comes close"
            return ("It is upside down: ", *_formula(there), f" {what}.")
        case "series":
            return (right, "with ", *_formula(there), " instead of ", *_formula(here), ": in parallel, not added.")
        case "parallel":
            return (right, "with ", *_formula(there), " instead of ", *_formula(here), ": added, not in parallel.")
        case "missing term":
            return (right, "with ", *_formula(there), " added to ", *_formula(here), ".")
        case "missing branch":
            return (right, "with ", *_formula(there), " in parallel with ", *_formula(here), ".")
        case "missing factor" if isinstance(there, Quotient) and not symbols(there.above) and here is not None:
            over = there.below if there.above == ONE else Quotient(there.below, there.above)
            return (right, "with ", *_formula(here), " divided by ", Formula(over), ".")
        case "missing factor":
            return (right, "with ", *_formula(here), " multiplied by ", *_formula(there), ".")
        case "extra":
            return (right, "without ", *_formula(here), ".")
        case "swap":
            return (right, "with ", *_formula(here), " and ", *_formula(there), " exchanged.")
        case "decibels":
            return ("It is the answer in decibels; a ratio was asked.",)
        case "log factor":
            return (right, "with 20 before the logarithm instead of 10: a ratio of voltages in decibels.")
        case slip if repair.names:
            return _asked_words(slip, repair.names, "near" if repair.finding.kind == "close" else "")
    if here is None:
        return (right, "with the factor ", *_formula(there), ".")
    if there is None:
        return (right, "without the factor ", *_formula(here), ".")
    return (right, "with ", *_formula(there), " instead of ", *_formula(here), ".")


def _promise(repair: Repair) -> str:
    """Right is what is equal, exactly or under statements; all else only comes close."""
    return "It would be right " if repair.finding.kind in ("exact", "stated") else "It comes close "


def _formula(expr: Expr | None) -> Words:
    return () if expr is None else (Formula(expr),)


def _sign_words(repair: Repair) -> Words:
    here = repair.here
    if here is None or not repair.place:
        return (_promise(repair), "with the opposite sign.")
    negative = is_negative(here)
    size = Formula(negate(here) if negative else here)
    signs = ("+ ", "- ") if negative else ("- ", "+ ")
    return (_promise(repair), "with ", signs[0], size, " instead of ", signs[1], size, ".")


def _asked_words(slip: str, names: tuple[str, ...], near: str) -> Words:
    """The question that was answered instead; ``near``: where its answer is only come near to."""
    is_ = "It is near the " if near else "It is the "
    parts: Words = ()
    for place, name in enumerate(names):
        parts = (*parts, " and " if place else "", Node(name))
    match slip:
        case "node":
            return (f"{is_}answer at ", Node(names[0]), ", and ", Node(names[1]), " was asked.")
        case "from node":
            return (f"{is_}gain from ", Node(names[0]), ", and from ", Node(names[1]), " was asked.")
        case "unlifted":
            return (f"{is_}answer with ", *parts, " left in place; the question lifts it.")
        case "lifted":
            return (f"{is_}answer without ", *parts, ", which the question leaves in place.")
        case _:
            return (f"{is_}answer with the rail of ", *parts, " left to float; for signals it is ground.")


def _then(repair: Repair) -> Words:
    """How the repaired formula compares."""
    finding = repair.finding
    if finding.kind == "exact" or repair.slip in ("decibels", "log factor"):
        return ()
    if finding.kind == "stated":
        return (" Then it is equal under ", join_and(label(n) for n in finding.statements), ".")
    assert finding.error is not None
    if repair.repaired is None:
        return (" The error from that is ", *percent(finding.error.worst), " at worst.")
    if finding.silent:
        return (" ", *_capital(error_words(finding.error)), ".", *silent_words(finding.silent))
    return (" By numbers alone: ", *error_words(finding.error), ".")


def headline(judged: Judged) -> str:
    """The verdict in a word or two, for tables."""
    kind = judged.result.kind
    if judged.slip_at is not None and kind != "wrong":
        return "result right, a step is not" if kind != "close" else "result close, a step is not"
    if kind == "stated":
        return f"right under {', '.join(label(n) for n in judged.result.statements)}"
    if kind == "wrong" and judged.result.silent:
        return "too coarse"
    return {"exact": "right", "close": "approximation", "wrong": "wrong"}[kind]

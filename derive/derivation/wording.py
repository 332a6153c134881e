"""Words that several steps share: what a question asks, what a statement says, how a number reads.

Enters: questions, statements, errors. Leaves: words. Must not know: LaTeX, pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isinf

from derive.answers.inquire import lifted_drives
from derive.approximate.error import Error
from derive.approximate.records import Resolved
from derive.circuit.records import Bootstrap, Gain, Impedance, Question, ReturnRatio, Statement
from derive.expression.tree import Name, Sym, Volt
from derive.network.records import Network
from derive.numbers import inwards
from derive.words import Formula, Inline, Node, Reading, Words

FLAT = 0.005
"""Relative difference between the worst error and that at the spot below which the error counts as one number."""
NEGLIGIBLE = 1e-5
"""An error below this is not told more exactly."""
FEW_PIECES = 2
"""Bands besides that around the spot that are told one by one."""
PRECISE = 3
"""Digits of the ends of a band in which an answer holds."""
HOLDS, WEAK = 10, 3
"""A stated ratio holds from 10 upwards and is weak from 3; a limit that changes less than 1/10, 1/3 likewise."""


def asked(question: Question, network: Network) -> Words:
    """The question as a sentence with its definition."""
    match question.ask:
        case Gain(None, to, driven_by):
            return ("The voltage at ", Node(to), " for each ampere of ", Node(driven_by), ".")
        case Gain(source, to, _):
            start = source or ""
            ratio = (Formula(Volt(to)), " over ", Formula(Volt(start)))
            return ("The gain from ", Node(start), " to ", Node(to), ": ", *ratio, ".")
        case Impedance(plus, minus, without):
            where: Words = ("into ", Node(plus)) if minus == "gnd" else ("between ", Node(plus), " and ", Node(minus))
            lifted: Words = ()
            for place, part in enumerate(without):
                lifted = (*lifted, " and " if place else ", ", Node(part))
            across = lifted_drives(network, plus, minus)
            tail: Words = (*lifted, " lifted") if without else ()
            shunt: Words = ("; ", Node(across[0].name), " lies across the very port and is lifted") if across else ()
            return ("The impedance seen looking ", *where, ", signals zeroed", *tail, *shunt, ".")
        case ReturnRatio(of, True):
            return (
                "The return ratio of ",
                Node(of),
                ": its loop is opened at its inputs, a voltage ",
                Formula(Name("v_t")),
                " drives it against the direction of the voltage between them, signals are zeroed, and what comes back "
                "between the inputs is compared with it.",
            )
        case ReturnRatio(of, _):
            return (
                "The return ratio of ",
                Formula(Sym(of)),
                ": the controlled source is taken out, a current ",
                Formula(Name("i")),
                " flows in its place against its direction, signals are zeroed, and what comes back at the ",
                "controlling voltage, times ",
                Formula(Sym(of)),
                ", is compared with it.",
            )
        case Bootstrap(part, near, far, driven_by):
            return (
                "How the far end of ",
                Formula(Sym(part)),
                " follows its near end when ",
                Node(driven_by),
                " drives: ",
                Formula(Volt(far)),
                " over ",
                Formula(Volt(near)),
                ".",
            )


def source_of(ask: ReturnRatio) -> Inline:
    """A controlled source: a symbol, or an op amp by its name as a part."""
    return Node(ask.of) if ask.device else Formula(Sym(ask.of))


def brief(question: Question) -> Words:
    """What is asked, in a few words."""
    match question.ask:
        case Gain(None, to, driven_by):
            return ("voltage at ", Node(to), " per ampere of ", Node(driven_by))
        case Gain(source, to, _):
            return ("gain from ", Node(source or ""), " to ", Node(to))
        case Impedance(plus, minus, without):
            where: Words = ("into ", Node(plus)) if minus == "gnd" else ("between ", Node(plus), " and ", Node(minus))
            lifted = tuple(piece for part in without for piece in (", ", Node(part)))
            return ("impedance ", *where, *((*lifted, " lifted") if without else ()))
        case ReturnRatio(_, _):
            return ("return ratio of ", source_of(question.ask))
        case Bootstrap(part, near, far, _):
            return ("bootstrap of ", Formula(Sym(part)), ": ", Node(far), " over ", Node(near))


def statement_words(statement: Statement) -> Words:
    """The statement as algebra where it is a relation, else in words."""
    relation = statement.relation
    if relation is not None and isinstance(relation.left, Name) and isinstance(relation.right, Name):
        return (Node(relation.left.name), " and ", Node(relation.right.name), " alike")
    if relation is not None:
        return (Formula(relation),)
    if statement.ideal_bootstrap is not None:
        return ("ideal bootstrap of ", Node(statement.ideal_bootstrap))
    parts = statement.short or statement.open
    words: Words = ()
    for place, part in enumerate(parts):
        words = (*words, ", " if place else "", Node(part))
    return (*words, " taken as a short" if statement.short else " taken as open")


def label(number: int) -> str:
    return f"A{number}"


def run_of(numbers: Sequence[int]) -> str:
    """“A1 to A5, A7”: runs of three or more told by their ends."""
    parts: list[str] = []
    start = 0
    for place in range(1, len(numbers) + 1):
        if place < len(numbers) and numbers[place] == numbers[place - 1] + 1:
            continue
        run = [label(number) for number in numbers[start:place]]
        parts.append(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run))
        start = place
    return ", ".join(parts)


def verdict(resolved: Resolved, worst_alone: float | None) -> str:
    """holds, weak or false: by its ratio, or for a limit or an equality by what it changes at worst alone."""
    strength = float(resolved.ratio) if resolved.ratio is not None else None
    if strength is None:
        if worst_alone is None:
            return "not used"
        strength = inf if worst_alone == 0 else 1 / worst_alone
    return "holds" if strength >= HOLDS else "weak" if strength >= WEAK else "false"


def percent(error: float, digits: int = 2) -> Words:
    """An error as a percentage; infinite ones in words."""
    if isinf(error):
        return ("infinite",)
    if 0 < error < NEGLIGIBLE:
        return ("under ", Reading(100 * NEGLIGIBLE, "%", 1))
    return (Reading(100 * error, "%", digits),)


def error_words(error: Error) -> Words:
    """Error at the spot and at worst, with the frequency."""
    if isinf(error.spot):
        return ("error infinite",)
    peak = " of the peak" if error.of_peak else ""
    if abs(error.worst - error.spot) <= FLAT * error.worst and error.of_peak == error.worst_of_peak:
        return ("error ", *percent(error.spot), f"{peak} throughout the band")
    of_peak = " of the peak" if error.worst_of_peak else ""
    worst: Words = ("; at worst ", *percent(error.worst), f"{of_peak} at ", Reading(error.at, "Hz", 2))
    return ("error ", *percent(error.spot), peak, *worst)


def spot_error_words(error: Error, spot: float) -> Words:
    """Error at one frequency alone, for what is evaluated nowhere else."""
    if isinf(error.spot):
        return ("error infinite",)
    peak = " of the peak in the band" if error.of_peak else ""
    return ("error ", *percent(error.spot), f"{peak} at ", Reading(spot, "Hz", 6, "stated"))


def holds_words(error: Error) -> Words:
    """The band around the spot in which the approximate answer stays within the limit, and the others."""
    limit: Words = ("within ", Reading(100 * error.within, "%", 6, "stated"))
    others = [piece for piece in error.pieces if piece != error.holds]
    shown: Words = ()
    for place, piece in enumerate(others[:FEW_PIECES]):
        shown = (*shown, " and " if place else "", *_reach(piece))
    if len(others) > FEW_PIECES:
        shown = (*shown, f" and in {len(others) - FEW_PIECES} more bands")
    if error.holds is None:
        return ("not ", *limit, " at the spot", *((", only ", *shown) if others else ()))
    return (*limit, " ", *_reach(error.holds), *((", and again ", *shown) if others else ()))


def _reach(piece: tuple[float, float]) -> Words:
    """A band in words, its ends rounded inwards so that no more is claimed than was found."""
    low, high, digits = inwards(*piece, PRECISE)
    if low == 0 and isinf(high):
        return ("at all frequencies",)
    if low == 0:
        return ("up to ", Reading(high, "Hz", digits))
    if isinf(high):
        return ("from ", Reading(low, "Hz", digits), " up")
    return ("from ", Reading(low, "Hz", digits), " to ", Reading(high, "Hz", digits))

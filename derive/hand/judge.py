"""Whether a result by hand is right, and if not, where its chain breaks.

Enters: what was written, and the matter that it is about. Leaves: the judgement.
Must not know: how the text was read, LaTeX.

The first side of a chain is compared with the answer, each other with the side before it, the last with the answer
again.
"""

from __future__ import annotations

from derive.hand.closeness import at_spot
from derive.hand.compare import compare, under_statements
from derive.hand.diagnose import diagnose
from derive.hand.equality import expression_side
from derive.hand.matter import Matter
from derive.hand.records import Hand
from derive.hand.verdicts import Judged, LinkFinding

TOLERANCE = 0.05
"""The error up to which an approximate result passes, unless the author says otherwise."""


def judge(
    matter: Matter,
    hand: Hand,
    says: str,
    *,
    tolerance: float = TOLERANCE,
    name: str | None = None,
    because: str | None = None,
) -> Judged:
    """The judgement of a result by hand about one question. ``says``: as the author wrote it."""
    sides = [expression_side(matter.right, link.value) for link in hand.links]
    findings: list[LinkFinding] = []
    for place, link in enumerate(hand.links):
        if place == 0:
            found = compare(sides[0], matter.right, matter, tolerance, answer=True)
        else:
            found = compare(sides[place], sides[place - 1], matter, tolerance)
            if found.kind in ("wrong", "close"):
                found = under_statements(sides[place], matter, found)
        findings.append(LinkFinding(link, found, at_spot(sides[place], matter.ground), found.kind != "wrong"))
    result = findings[0].finding
    if len(sides) > 1:
        result = compare(sides[-1], matter.right, matter, tolerance, answer=True)
    slip_at = next((place for place, each in enumerate(findings) if not each.holds), None)
    diagnosis = None
    if slip_at is not None and not _is_coarse(findings[slip_at]):
        before = matter.right if slip_at == 0 else sides[slip_at - 1]
        explained = bool(findings[slip_at].finding.silent)
        diagnosis = diagnose(sides[slip_at], before, matter, tolerance, explained=explained)
    elif slip_at is None and result.kind == "wrong" and not result.silent:
        diagnosis = diagnose(sides[-1], matter.right, matter, tolerance)
    return Judged(
        matter.question, hand, says, name, because, tolerance, tuple(findings), result, slip_at, diagnosis,
        sides[-1], matter.right,
    )  # fmt: skip


def _is_coarse(found: LinkFinding) -> bool:
    """Whether it was written as an approximation and is one, though it costs too much."""
    return found.link.sign == "≈" and bool(found.finding.silent)

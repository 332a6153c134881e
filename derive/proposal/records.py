"""What was proposed for one question, and on what it rests.

Enters: nothing. Leaves: records. Must not know: how statements are searched for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from derive.approximate.records import Resolved

Outcome = Literal["proposed", "nothing simpler", "stated already exceed", "too large"]


@dataclass(frozen=True)
class Proposal:
    """``statements``: what is proposed for the question, at each step what leaves the fewest terms; empty where the
    outcome says why. ``to_one``: what the answer lacks of one has to keep the accuracy too.
    """

    question: str
    accuracy: float
    outcome: Outcome
    statements: tuple[Resolved, ...] = ()
    to_one: bool = False

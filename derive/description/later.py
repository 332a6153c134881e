"""Keys that are known and not built yet, with the words that refuse them.

Enters: nothing. Leaves: tables. Must not know: anything else. When something is built, its entry goes; keys
of single kinds of parts that are not built yet stand with their kind in derive.circuit.parts.
"""

from __future__ import annotations

from collections.abc import Mapping


def _refused(*keys: str) -> dict[str, str]:
    return {key: f"{key} is not built yet" for key in keys}


TABLES: Mapping[str, str] = {
    "block": "blocks are not built yet: write their parts out",
    "accuracy": "accuracy stands under [about], for all questions, or on a question",
    "certify": "certify stands under [about], for all questions, or on a question",
    "mains": "mains at the top is not built yet: write mains = true on the part that is on the mains",
    "rating": "rating at the top is not built yet: write it on the part that takes up the power",
    "vary": "vary at the top is not built: write it under [about]",
    **_refused("show", "plot"),
}
PART: Mapping[str, str] = _refused("vary", "match", "model", "noise", "temperature", "amplitude", "rms")
ABOUT: Mapping[str, str] = _refused("show", "mains")
QUESTION: Mapping[str, str] = _refused("show", "vary", "poles", "step", "margin", "band", "spot")
ASSUME: Mapping[str, str] = _refused("matched", "band")

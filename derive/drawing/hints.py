"""The author's hints: whether they can be followed at all, and whether a drawing follows them.

Enters: a wish, a drawing. Leaves: nothing, or an error in words. Must not know: how places are found.
"""

from __future__ import annotations

from derive.drawing.errors import Undrawable
from derive.drawing.records import Drawing, Wish


def any_hint(wish: Wish) -> bool:
    """Whether the author has asked for anything about places."""
    return bool(wish.rows or wish.columns or wish.at or wish.turned)


def require_hints(wish: Wish) -> None:
    """Raises Undrawable where hints name what is not there, or contradict each other."""
    names = {part.name for part in wish.parts}
    asked = {
        "pairs": [name for pair in wish.pairs for name in pair],
        "rows": [name for row in wish.rows for name in row],
        "columns": [name for column in wish.columns for name in column],
        "at": [name for name, _ in wish.at],
        "turned": [name for name, _ in wish.turned],
    }
    for hint, wanted in asked.items():
        for name in wanted:
            if name not in names:
                raise Undrawable(f"{name} is no part of this drawing", "name a part that is drawn", hint)
    seen: dict[tuple[int, int], str] = {}
    for name, place in wish.at:
        if place in seen:
            raise Undrawable(f"{seen[place]} and {name} are both asked to stand at {place[0]}, {place[1]}",
                             "give them places of their own", "at")  # fmt: skip
        seen[place] = name
    at = dict(wish.at)
    for hint, groups, axis in (("rows", wish.rows, 1), ("columns", wish.columns, 0)):
        for group in groups:
            fixed = {at[name][axis] for name in group if name in at}
            if len(fixed) > 1:
                raise Undrawable(f"{', '.join(group)} cannot stand in one of the {hint}: their places are given",
                                 "take one of the two hints away", hint)  # fmt: skip


def require_followed(wish: Wish, drawing: Drawing) -> None:
    """Raises Undrawable where rows, columns, places or turns that were asked for could not be had."""
    placed = {one.part.name: one for one in drawing.parts}
    for hint, groups, axis in (("rows", wish.rows, 1), ("columns", wish.columns, 0)):
        for group in groups:
            if len({placed[name].at[axis] for name in group}) > 1:
                raise Undrawable(f"{', '.join(group)} could not be placed in one of the {hint}",
                                 "leave one of them out", hint)  # fmt: skip
    for name, place in wish.at:
        if placed[name].at != place:
            raise Undrawable(f"{name} could not be placed at {place[0]}, {place[1]}", "choose another place", "at")
    for name, turn in wish.turned:
        if placed[name].turn != turn:
            raise Undrawable(f"{name} could not be turned by {turn}", "choose another turn", "turned")

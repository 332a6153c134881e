"""From a wish to a drawing: the one entrance to this room.

Enters: a wish, and the stored placement of an earlier drawing or none. Leaves: a drawing that was checked.
Must not know: LaTeX, SVG, circuits, files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from derive.drawing.assemble import assemble, with_names
from derive.drawing.errors import Undrawable
from derive.drawing.hints import any_hint, require_followed, require_hints
from derive.drawing.pack import pack
from derive.drawing.place import Effort, search
from derive.drawing.records import Drawing, Wish
from derive.drawing.store import given_places
from derive.drawing.trace import check

MORE = 3
"""How many times the seeds, where the first ones found no drawing without faults."""


def draw(wish: Wish, stored: Mapping[str, Any] | None = None, effort: Effort | None = None) -> Drawing:
    """The drawing of a wish. Raises Undrawable where a hint cannot be followed.

    ``stored``: what ``derive.drawing.store.stored`` made of an earlier drawing; parts that have not changed stay.
    """
    if not wish.parts:
        return Drawing((), (), (), (), ())
    require_hints(wish)
    packed, work = pack(wish, {}), effort or Effort()
    given = given_places(packed, stored)
    if given:
        packed = pack(wish, given)
    found = search(packed, given, work)
    if found.faults and given:
        # What is new has no room between what stays: all is placed anew.
        packed, given = pack(wish, {}), {}
        found = search(packed, given, work)
    if found.faults:
        found = search(packed, given, replace(work, seeds=MORE * work.seeds))
    if found.faults:
        remedy = "leave out some of [drawing]" if any_hint(wish) else "give [drawing] places of some parts"
        raise Undrawable("no drawing was found in which nothing lies on anything else", remedy)
    if not given and not wish.at:
        found = with_names(packed, found)
    drawing = assemble(packed, found)
    require_followed(wish, drawing)
    check(wish, drawing)
    return drawing

"""The drawing of a circuit: found once, and recalled thereafter.

Enters: a circuit, its bias point, the nodes of its signal path. Leaves: a drawing, or in words why there is none.
Must not know: LaTeX, HTML, what a drawing is used for.

What is drawn follows from the description and from the file of places beside it, where its author keeps one; what was
found in earlier runs only saves time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from derive.bias.records import Bias, Unsolved
from derive.circuit.records import Circuit
from derive.drawing.draw import draw
from derive.drawing.errors import Undrawable
from derive.drawing.records import Drawing, Wish
from derive.errors import Defect
from derive.places import read_places
from derive.schematic.circuit import schematic
from derive.sketch_cache import key_of, recall, remember


@dataclass(frozen=True)
class Missing:
    """Why a circuit is not drawn."""

    why: str


def sketch(circuit: Circuit, bias: Bias | Unsolved | None, path: Sequence[str] = ()) -> Drawing | Missing | None:
    """The drawing; None where the author wants none, Missing where none was found.

    Raises DescriptionError for a hint that cannot be followed.
    """
    if not circuit.hints.show:
        return None
    wish = hinted(schematic(circuit, bias, circuit.hints.path or tuple(path)), circuit)
    places = read_places(circuit.source)
    key = key_of(wish, places)
    known = recall(key, wish)
    if known is not None:
        return known
    try:
        found = draw(wish, places)
    except Undrawable as error:
        if _asked(circuit, error.hint):
            raise circuit.source.error(("drawing", error.hint), f"drawing: {error.what}", error.remedy) from None
        return Missing(error.what)
    except Defect as error:
        return Missing(str(error))
    remember(key, found)
    return found


def drawn_wish(wish: Wish) -> Drawing | None:
    """The drawing of a wish without hints or kept places; None where none is found."""
    key = key_of(wish, None)
    known = recall(key, wish)
    if known is not None:
        return known
    try:
        found = draw(wish)
    except (Undrawable, Defect):
        return None
    remember(key, found)
    return found


def _asked(circuit: Circuit, hint: str) -> bool:
    """Whether the author gave hints of this sort."""
    hints = circuit.hints
    return bool({"pairs": hints.pairs, "rows": hints.rows, "columns": hints.columns, "at": hints.at,
                 "turned": hints.turned}.get(hint))  # fmt: skip


def hinted(wish: Wish, circuit: Circuit) -> Wish:
    """The wish with the author's hints; pairs that are named take the place of those that were found."""
    hints = circuit.hints
    named = {name for pair in hints.pairs for name in pair}
    pairs = (*hints.pairs, *(pair for pair in wish.pairs if not named & set(pair)))
    turned: Any = hints.turned
    return replace(wish, pairs=pairs, rows=hints.rows, columns=hints.columns, at=hints.at, turned=turned)

"""Drawings that were found before, in the user's cache: by what was wished, and by the source of the layout.

Enters: a wish, places that were kept. Leaves: the drawing again, if it still shows what is wished.
Must not know: circuits, how a drawing is found.

A drawing follows from its wish alone, so that the cache (``$XDG_CACHE_HOME/derive/drawings``) only saves time.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from derive.drawing.data import of_data, to_data
from derive.drawing.records import Drawing, Wish
from derive.drawing.trace import check
from derive.errors import Defect

LARGEST = 2_000_000
"""Bytes of a drawing that is kept."""
ROOM = Path(__file__).parent / "drawing"


def key_of(wish: Wish, places: Mapping[str, Any] | None) -> str:
    told = repr(wish) + json.dumps(places, sort_keys=True, default=str) + _version()
    return hashlib.sha256(told.encode()).hexdigest()


@cache
def _version() -> str:
    """The layout's own source, so that a drawing of an older layout is not taken for one of this."""
    digest = hashlib.sha256()
    for path in sorted(ROOM.rglob("*.py")):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def _folder() -> Path | None:
    home = os.environ.get("XDG_CACHE_HOME") or (os.environ.get("HOME") and f"{os.environ['HOME']}/.cache")
    return Path(home) / "derive" / "drawings" if home and Path(home).is_absolute() else None


def recall(key: str, wish: Wish) -> Drawing | None:
    """The drawing kept under a key, if it still shows what is wished."""
    folder = _folder()
    if folder is None:
        return None
    try:
        with (folder / f"{key}.json").open("rb") as file:
            drawing = of_data(json.loads(file.read(LARGEST)))
        if {placed.part for placed in drawing.parts} != set(wish.parts):
            return None
        check(wish, drawing)
    except (OSError, ValueError, TypeError, KeyError, Defect):
        return None
    return drawing


def remember(key: str, drawing: Drawing) -> None:
    """Keeps a drawing; where that cannot be, the next run takes as long as this one."""
    folder = _folder()
    if folder is None:
        return
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile("w", dir=folder, suffix=".new", delete=False, encoding="utf-8") as file:
            json.dump(to_data(drawing), file, ensure_ascii=False)
        os.replace(file.name, folder / f"{key}.json")
    except OSError:
        return

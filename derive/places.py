"""The places of parts that an author keeps beside the description, so that an edit does not reshuffle the drawing.

Enters: the source of a description; a drawing. Leaves: the data of ``<stem>.places.toml``; its bytes.
Must not know: how parts are placed.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from derive.description.source import Source
from derive.drawing.records import Drawing
from derive.drawing.store import stored
from derive.errors import DescriptionError

LARGEST = 2_000_000
"""Bytes of a file of places."""


def places_file(source: Source) -> Path | None:
    """The file beside the description in which its author keeps places; None where it has no folder."""
    return Path(source.folder) / f"{source.stem}.places.toml" if source.folder is not None else None


def places_bytes(source: Source) -> bytes | None:
    """What that file holds, be it beside the description or attached to a PDF with it; None where there is none."""
    path = places_file(source)
    if path is None:
        return source.attached.get(f"{source.stem}.places.toml")
    try:
        if not path.is_file():
            return None
        with path.open("rb") as file:
            return file.read(LARGEST + 1)
    except OSError as error:
        raise DescriptionError(str(path), None, f"the file cannot be read: {error.strerror}") from None


def read_places(source: Source) -> Mapping[str, Any] | None:
    """The places that are kept; None where there are none. Raises DescriptionError."""
    text, path = places_bytes(source), f"{source.stem}.places.toml"
    if text is None:
        return None
    try:
        if len(text) > LARGEST:
            raise DescriptionError(str(path), None, "the file is larger than 2 MB", "remove it, and keep places anew")
        data = tomllib.loads(text.decode("utf-8"))
    except ValueError as error:
        what = "the places in it cannot be read"
        raise DescriptionError(str(path), None, what, "remove the file, and keep places anew") from error
    for name, entry in data.items():
        if not _is_place(entry):
            what = f"the place of {name!r} cannot be read"
            raise DescriptionError(str(path), None, what, "remove the file, and keep places anew")
    return data


def _is_place(entry: Any) -> bool:
    if not isinstance(entry, dict):
        return False
    at, words = entry.get("at"), entry.get("words", [])
    pairs = [at, *words] if isinstance(words, list) else [None]
    return all(isinstance(p, list) and len(p) == 2 and all(type(x) in (int, float) for x in p) for p in pairs)


def written_places(drawing: Drawing) -> bytes:
    """A file of places: one table a part."""
    lines = ["# Places of the parts in the drawing, in grid units. Written with --keep-places; remove it to draw anew."]
    for name, entry in stored(drawing).items():
        # What stands here are names, whole numbers and words of our own, which JSON and TOML spell alike.
        pins = ", ".join(f"{pin} = {json.dumps(node)}" for pin, node in entry["pins"].items())
        lines += ["", f"[{name}]", f"kind = {json.dumps(entry['kind'])}", f"pins = {{ {pins} }}"]
        lines += [f"{key} = {json.dumps(entry[key])}" for key in ("at", "turn", "mirrored", "words")]
    return ("\n".join(lines) + "\n").encode()

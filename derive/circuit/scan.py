"""The author's own picture, held against the circuit and read from the description's folder.

Enters: the description's [scan], the circuit's parts and nodes. Leaves: a Scan, or a DescriptionError.
Must not know: what is marked on it.

The picture is a file beside the description, no link to elsewhere, a PNG or a JPEG by its first bytes and by decoding.
"""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from derive.circuit.hints import Scan
from derive.circuit.nets import node_of
from derive.circuit.records import Part
from derive.description.hints import quote, suggest

if TYPE_CHECKING:
    import numpy as np

    from derive.description.outline import Description
    from derive.description.source import Source

LARGEST = 20_000_000
"""Bytes of a picture."""
MOST_PIXELS = 60_000_000
SIGNATURES: Mapping[bytes, Literal["png", "jpg"]] = {b"\x89PNG\r\n\x1a\n": "png", b"\xff\xd8\xff": "jpg"}
IMAGE = ("scan", "image")
COLUMNS = 120
"""Cells across the picture in which ink is looked for."""
CONTRAST = 60
"""Levels of 255 by which ink differs from the ground, the commonest level."""

Ink = tuple[float, float, float, float]


def build_scan(description: Description, parts: Mapping[str, Part], nodes: tuple[str, ...]) -> Scan | None:
    """The picture with its places; None where there is none. Raises DescriptionError."""
    table, source = description.scan, description.source
    if table is None:
        return None
    found: dict[str, tuple[float, float]] = {}
    for text, place in table.nodes.items():
        path = ("scan", "nodes", text)
        node = node_of(text, description.parts, source, path)
        if node not in nodes:
            raise source.error(path, f"scan: there is no node {text}", suggest(text, nodes, "node"))
        if node in found:
            raise source.error(path, f"scan: {text} has a place already, under another name", "name it once")
        found[node] = place
    for name in table.parts:
        if name not in parts:
            path = ("scan", "parts", name)
            raise source.error(path, f"scan: there is no part {name}", suggest(name, parts, "part"))
    content = _read(table.image, source)
    form = next((form for signature, form in SIGNATURES.items() if content.startswith(signature)), None)
    if form is None:
        raise source.error(IMAGE, f"scan: {table.image} is neither a PNG nor a JPEG picture", "save it as PNG")
    size, ink = _decoded(content, table.image, source)
    return Scan(content, form, size, tuple(found.items()), tuple(table.parts.items()), table.image, ink)


def _read(name: str, source: Source) -> bytes:
    if name in source.attached:
        return source.attached[name]
    if source.folder is None:
        raise source.error(IMAGE, "scan: a description in memory has no folder with pictures", "read it from a file")
    path = Path(source.folder) / name
    try:
        if path.is_symlink():
            raise source.error(IMAGE, f"scan: {name} is a link", "put the picture itself beside the description")
        if not path.is_file():
            what = f"scan: there is no picture {name} beside the description"
            raise source.error(IMAGE, what, "put it there, or correct its name")
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)
    except OSError as error:
        raise source.error(IMAGE, f"scan: {name} cannot be read: {error.strerror}") from None
    if len(content) > LARGEST:
        raise source.error(IMAGE, f"scan: {name} is larger than 20 MB", "make the picture smaller")
    return content


def _decoded(content: bytes, name: str, source: Source) -> tuple[tuple[int, int], tuple[Ink, ...]]:
    """Width and height in pixels of a picture, and where something is drawn on it."""
    import numpy as np
    from PIL import Image

    try:
        with Image.open(io.BytesIO(content), formats=("PNG", "JPEG")) as image:
            width, height = image.size
            if width * height > MOST_PIXELS:
                raise source.error(IMAGE, f"scan: {name} has more than 60 million pixels", "make the picture smaller")
            grey = np.asarray(image.convert("RGBA").convert("L"), dtype=np.int16)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        raise source.error(IMAGE, f"scan: {quote(name)} cannot be decoded", "save the picture again") from None
    return (width, height), _ink(grey)


def _ink(grey: np.ndarray) -> tuple[Ink, ...]:
    """Runs of cells that hold ink, row by row, as fractions of the picture."""
    height, width = grey.shape
    ground = Counter(grey[:: max(1, height // 500), :: max(1, width // 500)].ravel().tolist()).most_common(1)[0][0]
    dark = abs(grey - ground) > CONTRAST
    across = max(1, -(-width // COLUMNS))
    found: list[Ink] = []
    for top in range(0, height, across):
        row = dark[top : top + across].any(axis=0)
        cells = [bool(row[left : left + across].any()) for left in range(0, width, across)]
        start = None
        for number, filled in enumerate([*cells, False]):
            if filled and start is None:
                start = number
            elif not filled and start is not None:
                right, bottom = min(number * across, width), min(top + across, height)
                found.append((start * across / width, top / height, right / width, bottom / height))
                start = None
    return tuple(found)

"""The text of a description: read, bounded, parsed as TOML, and asked for lines when something is wrong.

Enters: a path, or text and a name. Leaves: a Source and its TOML data, or a DescriptionError.
Must not know: what the keys mean.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from derive.description import lines
from derive.description.attached import unpack
from derive.description.characters import bad_character
from derive.description.hints import quote
from derive.description.syntax import explain_syntax
from derive.errors import DescriptionError

LARGEST_SIZE = 1_000_000  # bytes
LARGEST_SHEET = 200_000_000  # bytes of a PDF with a description in it
DEEPEST_NESTING = 8  # tables within tables
_QUOTES = "use single quotes around LaTeX: double quotes read \\b, \\f, \\n, \\r and \\t as control characters"

Key = str | int
Path_ = tuple[Key, ...]


@dataclass(frozen=True)
class Source:
    """A description as it was written: ``name`` is what messages call it, ``sha256`` that of its bytes."""

    name: str
    text: str = field(repr=False)
    sha256: str
    folder: Path | None = None
    """Where it lies; None for a text in memory, and for one that is attached to a PDF."""
    raw: bytes = field(default=b"", repr=False)
    attached: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    """The files beside it, where it is attached to a PDF together with them."""

    @property
    def stem(self) -> str:
        """The name of the file without folders and ending."""
        return Path(self.name.rpartition(": ")[2]).stem or "description"

    def line_of(self, path: Path_) -> int | None:
        """The line, counted from one, on which the value of a key path ends; None where it is not found.

        Where the path is not there, the line of the longest part of it that is.
        """
        return lines.line_of(self.text, path)

    def error(self, path: Path_, what: str, remedy: str = "") -> DescriptionError:
        """The error to raise for a fault at a key path."""
        return DescriptionError(self.name, self.line_of(path), what, remedy)


def source_of_file(path: str | Path) -> Source:
    """Read a file. Raises DescriptionError where it is not a readable text of at most 1 MB in UTF-8."""
    name, place = str(path), Path(path)
    try:
        if not place.is_file():
            what = "this is not a file" if place.exists() else "there is no such file"
            raise DescriptionError(name, None, what, "give the path of a circuit description (TOML)")
        with place.open("rb") as stream:
            raw = stream.read(LARGEST_SIZE + 1)
            if raw.startswith(b"%PDF-"):
                raw += stream.read(LARGEST_SHEET)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not a path"
        raise DescriptionError(name, None, f"the file cannot be read: {reason}") from None
    if raw.startswith(b"%PDF-"):
        inner, raw, files = unpack(name, raw)
        return replace(_source(f"{name}: {inner}", raw), attached=files)
    return replace(_source(name, raw), folder=place.parent)


def source_of_text(text: str, name: str) -> Source:
    """A description that is already in memory."""
    try:
        return _source(name, text.encode("utf-8"))
    except UnicodeEncodeError:
        raise DescriptionError(name, None, "the text holds half a surrogate pair", "save it as UTF-8") from None


def _source(name: str, raw: bytes) -> Source:
    if len(raw) > LARGEST_SIZE:
        raise DescriptionError(name, None, "the description is larger than 1 MB", "a circuit takes a few kilobytes")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        raise DescriptionError(name, line, "this is not text in UTF-8", "save the file as UTF-8") from None
    return Source(name, text.replace("\r\n", "\n"), hashlib.sha256(raw).hexdigest(), raw=raw)


def load(source: Source) -> dict[str, Any]:
    """The TOML data of a description, with decimals exact and no unwelcome character or number in it."""
    try:
        data = tomllib.loads(source.text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise explain_syntax(source.name, source.text, str(error)) from None
    except RecursionError:
        raise DescriptionError(source.name, None, "lists or tables are nested too deep") from None
    except (ValueError, ArithmeticError):
        raise DescriptionError(
            source.name, None, "it holds a number that cannot be read", "write numbers of a sensible size"
        ) from None
    _check_values(source, data)
    return data


def _check_values(source: Source, data: dict[str, Any]) -> None:
    """Refuse control characters, non-finite numbers and deep nesting, wherever they are."""
    waiting: list[tuple[Path_, Any]] = [((), data)]
    while waiting:
        path, value = waiting.pop()
        if len(path) > DEEPEST_NESTING:
            raise source.error(path, "tables are nested too deep", "no key of a description has so many dots")
        if isinstance(value, dict):
            for key in value:
                if bad_character(key):
                    raise source.error((*path, key), f"the key {quote(key)} holds a control character", "remove it")
            waiting.extend(((*path, key), part) for key, part in reversed(value.items()))
        elif isinstance(value, list):
            waiting.extend(((*path, index), part) for index, part in reversed(list(enumerate(value))))
        elif isinstance(value, str):
            bad = bad_character(value, source.text)
            if bad:
                raise source.error(path, f"{quote(value)} holds a control character ({bad})", _QUOTES)
        elif isinstance(value, Decimal) and not value.is_finite():
            raise source.error(path, f"{value} is not a finite number", "write the number")

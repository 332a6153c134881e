"""A description that travels within a sheet: read from the attachments of a PDF of ours.

Enters: the bytes of a PDF. Leaves: the description's bytes and the files beside it, or a DescriptionError.
Must not know: what the description says.
"""

from __future__ import annotations

import io
from collections.abc import Mapping

from derive.errors import DescriptionError

LARGEST = 25_000_000
"""Bytes of an attachment as it is stored."""


def unpack(name: str, pdf: bytes) -> tuple[str, bytes, Mapping[str, bytes]]:
    """The description's name and bytes, and all that was attached besides. Raises DescriptionError."""
    import pikepdf

    sources: list[str] = []
    files: dict[str, bytes] = {}
    try:
        with pikepdf.open(io.BytesIO(pdf)) as document:
            for title, spec in document.attachments.items():
                stored = spec.get_file()
                if int(stored.obj.get("/Length", 0)) > LARGEST:
                    raise DescriptionError(name, None, f"the attachment {title!r} is larger than 25 MB")
                files[title] = stored.read_bytes()
                if spec.relationship == pikepdf.Name.Source and title.endswith(".toml"):
                    sources.append(title)
    except (pikepdf.PdfError, ValueError, TypeError, AttributeError, KeyError):
        raise DescriptionError(
            name, None, "this PDF cannot be read", "give a worksheet made here, or a .toml"
        ) from None
    if len(sources) != 1:
        what = "no circuit description is attached to this PDF" if not sources else "several descriptions are attached"
        raise DescriptionError(name, None, what, "give a worksheet made here, or a circuit description (TOML)")
    return sources[0], files.pop(sources[0]), files

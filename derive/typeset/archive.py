"""A PDF made fit to be kept: what it was made from travels within it, and its metadata claim PDF/A-3b.

Enters: the bytes of a PDF, files to attach. Leaves: the bytes of a PDF. Must not know: circuits, documents.

ISO 19005-3 (from memory) asks for an output intent, XMP that says the same as the document's information, attachments
with their relation to the document, and links that print. The claim is not checked by an independent validator. The
same bytes come in and go out: no dates, an identity that follows from the content.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import pikepdf

DATE = "D:20000101000000Z"
"""The date of all attachments: the one that TeX is told."""
PRINTED = 4
"""The flag of an annotation that is printed."""


@dataclass(frozen=True)
class Attachment:
    """``relation`` of the file to the document: what it was made from, its results as data, what else belongs to it."""

    name: str
    content: bytes = field(repr=False)
    kind: str
    relation: Literal["Source", "Data", "Supplement"]
    words: str


def archive(pdf: bytes, attachments: Sequence[Attachment]) -> bytes:
    """The PDF with its attachments, and with the metadata of PDF/A-3b."""
    import pikepdf

    with pikepdf.open(io.BytesIO(pdf)) as document:
        specs = []
        for one in attachments:
            spec = pikepdf.AttachedFileSpec(
                document, one.content, description=one.words, filename=one.name, mime_type=one.kind, mod_date=DATE,
                relationship=pikepdf.Name(f"/{one.relation}"),
            )  # fmt: skip
            document.attachments[one.name] = spec
            specs.append(spec.obj)
        document.Root.AF = pikepdf.Array(specs)
        document.Root.OutputIntents = pikepdf.Array([_intent(document)])
        for page in document.pages:
            for note in page.obj.get("/Annots", ()):
                note.F = PRINTED
        with document.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
            _repeat(document, metadata)
            metadata["pdfaid:part"], metadata["pdfaid:conformance"] = "3", "B"
        stream = io.BytesIO()
        mode = pikepdf.ObjectStreamMode.generate
        document.save(stream, min_version="1.7", deterministic_id=True, object_stream_mode=mode)
        return stream.getvalue()


def _repeat(document: pikepdf.Pdf, metadata: pikepdf.models.PdfMetadata) -> None:
    """Says in XMP what the document's information says."""
    said = {key: str(value) for key, value in document.docinfo.items()}
    for key, name in (("/Title", "dc:title"), ("/Subject", "dc:description"), ("/Creator", "xmp:CreatorTool"),
                      ("/Producer", "pdf:Producer")):  # fmt: skip
        if said.get(key):
            metadata[name] = said[key]
    if said.get("/Author"):
        metadata["dc:creator"] = [said["/Author"]]
    for key in ("/Keywords", "/Trapped"):
        if key in document.docinfo:
            del document.docinfo[key]


def _intent(document: pikepdf.Pdf) -> pikepdf.Object:
    """Colours are meant as sRGB."""
    import pikepdf

    profile = document.make_stream(_srgb())
    profile.N = 3
    return document.make_indirect(
        pikepdf.Dictionary(
            Type=pikepdf.Name.OutputIntent,
            S=pikepdf.Name.GTS_PDFA1,
            OutputConditionIdentifier=pikepdf.String("sRGB"),
            Info=pikepdf.String("sRGB"),
            DestOutputProfile=profile,
        )
    )


def _srgb() -> bytes:
    """An sRGB profile with the date of 2000 in its header (ICC.1, clause 7.2.8; from memory)."""
    from PIL import ImageCms

    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    made[24:36] = b"\x07\xd0\x00\x01\x00\x01\x00\x00\x00\x00\x00\x00"
    return bytes(made)

"""A sheet that holds what it was made from: read back with a general-purpose library, and made again from itself."""

from __future__ import annotations

import hashlib
import io
from pathlib import Path

import pikepdf
import pytest

from derive.description.attached import unpack
from derive.description.reader import read
from derive.description.source import source_of_file
from derive.errors import DescriptionError
from derive.typeset.archive import Attachment, archive

TEXT = b"""
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "1 k\xce\xa9", between = ["in", "out"] }
R2 = { resistor = "1 k\xce\xa9", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""
FILES = (
    Attachment("sheet.toml", TEXT, "application/toml", "Source", "The circuit description"),
    Attachment("record.json", b"{}", "application/json", "Data", "All answers as data"),
    Attachment("sheet.places.toml", b"[R1]\nat = [0, 0]\n", "application/toml", "Supplement", "Places"),
)


def plain_pdf() -> bytes:
    """A page with a link and the information that TeX writes."""
    document = pikepdf.new()
    document.add_blank_page()
    link = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, Rect=[0, 0, 9, 9])
    document.pages[0].obj.Annots = pikepdf.Array([link])
    document.docinfo["/Title"], document.docinfo["/Author"] = "Größe & <Pegel>", "A. Author"
    document.docinfo["/Producer"], document.docinfo["/Keywords"] = "pdfTeX", ""
    stream = io.BytesIO()
    document.save(stream, deterministic_id=True)
    return stream.getvalue()


def test_what_was_attached_is_read_back() -> None:
    with pikepdf.open(io.BytesIO(archive(plain_pdf(), FILES))) as document:
        assert {name: spec.get_file().read_bytes() for name, spec in document.attachments.items()} == {
            one.name: one.content for one in FILES
        }
        assert [str(spec.AFRelationship) for spec in document.Root.AF] == ["/Source", "/Data", "/Supplement"]
        assert document.Root.OutputIntents[0].S == "/GTS_PDFA1"
        assert len(document.Root.OutputIntents[0].DestOutputProfile.read_bytes()) > 400
        assert document.pages[0].obj.Annots[0].F == 4
        assert "/ID" in document.trailer
        with document.open_metadata() as metadata:
            assert metadata.pdfa_status == "3B"
            assert metadata["dc:title"] == document.docinfo["/Title"] == "Größe & <Pegel>"
            assert metadata["dc:creator"] == ["A. Author"]
            assert metadata["pdf:Producer"] == document.docinfo["/Producer"]


def test_same_bytes() -> None:
    assert archive(plain_pdf(), FILES) == archive(plain_pdf(), FILES)


def test_a_sheet_is_read_as_its_description(tmp_path: Path) -> None:
    path = tmp_path / "found.pdf"
    path.write_bytes(archive(plain_pdf(), FILES))
    source = source_of_file(path)
    assert source.raw == TEXT
    assert source.sha256 == hashlib.sha256(TEXT).hexdigest()
    assert source.stem == "sheet"
    assert set(source.attached) == {"record.json", "sheet.places.toml"}
    assert source.folder is None
    assert list(read(path).parts) == ["Vs", "R1", "R2"]


def test_a_fault_within_is_told_by_both_names_and_its_line(tmp_path: Path) -> None:
    wrong = Attachment("sheet.toml", TEXT.replace(b"out", b"aus", 1), "application/toml", "Source", "")
    path = tmp_path / "found.pdf"
    path.write_bytes(archive(plain_pdf(), (wrong,)))
    with pytest.raises(DescriptionError, match=r"found\.pdf: sheet\.toml, line [0-9]+"):
        read(path)


@pytest.mark.parametrize(
    ("pdf", "told"),
    [
        (plain_pdf(), "no circuit description is attached"),
        (b"%PDF-1.7 torn", "cannot be read"),
        (archive(plain_pdf(), (FILES[0], Attachment("b.toml", TEXT, "application/toml", "Source", ""))), "several"),
        (archive(plain_pdf(), FILES[1:]), "no circuit description is attached"),
    ],
)
def test_other_pdfs_are_refused_in_words(pdf: bytes, told: str) -> None:
    with pytest.raises(DescriptionError, match=told):
        unpack("found.pdf", pdf)

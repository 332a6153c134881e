"""What travels within a worksheet's PDF: its description, the files beside that, the record.

Enters: a circuit, the bytes of its record. Leaves: attachments. Must not know: PDF.
"""

from __future__ import annotations

import re
from pathlib import Path

from derive.circuit.records import Circuit
from derive.description.beside import files_named
from derive.places import places_bytes
from derive.typeset.archive import Attachment

KINDS = {"png": "image/png", "jpg": "image/jpeg"}


def attachments(circuit: Circuit, record: bytes) -> list[Attachment]:
    """With these the sheet can be made again: ``derive worksheet worksheet.pdf``."""
    source = circuit.source
    stem = re.sub(r"[^A-Za-z0-9_.\\-]", "_", source.stem)
    found = [
        Attachment(f"{stem}.toml", source.raw, "application/toml", "Source", "The circuit description"),
        Attachment("record.json", record, "application/json", "Data", "All answers as data"),
    ]
    places = places_bytes(source)
    if places is not None:
        words = "Where the parts stand in the drawing"
        found.append(Attachment(f"{stem}.places.toml", places, "application/toml", "Supplement", words))
    for name in files_named(source.raw, source.folder) if source.folder is not None else sorted(source.attached):
        # Attached names are flat; a picture and the places have entries of their own.
        if name.lower().endswith((".csv", ".txt", ".tsv")) and "/" not in name:
            content = source.attached.get(name) or (Path(source.folder or ".") / name).read_bytes()
            found.append(Attachment(name, content, "text/csv", "Supplement", "Readings at the bench"))
    if circuit.scan is not None:
        scan = circuit.scan
        words = "The author's own picture of the circuit"
        found.append(Attachment(scan.name, scan.image, KINDS[scan.format], "Supplement", words))
    return found

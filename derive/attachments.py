"""What travels within a worksheet's PDF: its description, the files beside that, the record.

Enters: a circuit, the bytes of its record. Leaves: attachments. Must not know: PDF.
"""

from __future__ import annotations

import re

from derive.circuit.records import Circuit
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
    if circuit.scan is not None:
        scan = circuit.scan
        words = "The author's own picture of the circuit"
        found.append(Attachment(scan.name, scan.image, KINDS[scan.format], "Supplement", words))
    return found

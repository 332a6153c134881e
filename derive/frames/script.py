"""What is said at each frame, as plain text.

Enters: frames. Leaves: text. Must not know: LaTeX, files.
"""

from __future__ import annotations

from textwrap import fill

from derive.document.records import Row
from derive.frames.records import Frame
from derive.spoken import spoken, spoken_formula

SIGNS = {"=": "=", "≈": "≈", ":=": "stands for"}
WIDTH = 78


def script_of(frame: Frame) -> str:
    """Heading, sentences, the step with its number; a paragraph each."""
    head = spoken(frame.heading) + (f" – {frame.part}" if frame.part else "")
    told = [spoken(words) for words in frame.said]
    if frame.row is not None:
        told += _step(frame.row)
    return "\n\n".join([head, *(fill(text, WIDTH, break_long_words=False) for text in told)]) + "\n"


def _step(row: Row) -> list[str]:
    told = [_sentence(spoken(row.rule))]
    for line in row.algebra:
        left = f"{spoken_formula(line.left)} " if line.left is not None else ""
        told.append(f"{left}{SIGNS[line.sign]} {spoken_formula(line.right)}")
    if row.number:
        told.append(_sentence("In numbers: " + spoken(row.number)))
    if row.note:
        told.append(_sentence(spoken(row.note)))
    return told


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?", ":")) else ".")

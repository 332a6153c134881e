"""Blocks in a row as sections within each other.

Enters: the blocks of a document. Leaves: parts, each with its heading. Must not know: HTML.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from derive.document.records import Block, Heading


@dataclass
class Part:
    """A section (``parts`` are its subsections), or what stands before the first, which has no heading."""

    heading: Heading | None
    blocks: list[Block] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)


def outline(blocks: Iterable[Block]) -> list[Part]:
    """The parts of a document, the opening first.

    A block after a subsection belongs to it; on paper nothing else can be seen either.
    """
    parts = [Part(None)]
    for block in blocks:
        if isinstance(block, Heading):
            part = Part(block)
            if block.level == 1:
                parts.append(part)
            else:
                parts[-1].parts.append(part)
        else:
            within = parts[-1].parts[-1] if parts[-1].parts else parts[-1]
            within.blocks.append(block)
    return parts

"""Which node each pin joins: nodes written as pins of other parts are followed to a name.

Enters: parts as written. Leaves: the node of every pin, under its one name.
Must not know: what the parts do.

A pin that is not mentioned in its own part's line has its own node, named like ``Q2.collector``. A pin
written as another part's pin joins the node of that pin, so that every net ends at a plain name or at one
such pin.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.description.hints import a, suggest

if TYPE_CHECKING:
    from derive.circuit.records import Path
    from derive.description.parts import WrittenPart
    from derive.description.source import Source


LONGEST_CHAIN = 100  # pins written as pins of pins, which no drawing needs


def node_of(text: str, parts: Mapping[str, WrittenPart], source: Source, path: Path) -> str:
    """The one name of the node that a text names.

    Raises DescriptionError for a pin that is not there, and for pins that lead in a circle.
    """
    seen: dict[str, None] = {}
    while "." in text:
        if text in seen:
            circle = " to ".join([*seen, text])
            what = f"{text} names itself" if len(seen) == 1 else f"the pins lead in a circle: {circle}"
            raise source.error(path, what, "give the net a name of its own")
        if len(seen) == LONGEST_CHAIN:
            what = f"more than {LONGEST_CHAIN} pins lead from one to the next"
            raise source.error(path, what, "give the net a name of its own")
        seen[text] = None
        name, _, pin = text.partition(".")
        if name not in parts:
            alike = next((one for one in parts if one.lower() == name.lower()), None)
            remedy = suggest(name, parts, "part") if alike is None else f"write {alike}.{pin.lower()}"
            raise source.error(path, f"{text} is a pin of {name}, and there is no part {name}", remedy)
        pins = parts[name].pins
        if pin not in pins:
            if pin.lower() in pins:
                raise source.error(path, f"{name} has no pin {pin}", f"write {name}.{pin.lower()}")
            kind = parts[name].kind.name
            raise source.error(path, f"{name} has no pin {pin}", f"the pins of {a(kind)} are {', '.join(pins)}")
        written = pins[pin]
        if written is None:
            return text
        text = written
    return text


def pins_of(part: WrittenPart, parts: Mapping[str, WrittenPart], source: Source) -> dict[str, str]:
    """The node of each pin of a part."""
    return {
        pin: node_of(written if written is not None else f"{part.name}.{pin}", parts, source, _path_of(part, pin))
        for pin, written in part.pins.items()
    }


def _path_of(part: WrittenPart, pin: str) -> Path:
    """The key under which a pin is written, for the line of a message."""
    for ends in (*part.kind.ends, *part.kind.alternatives):
        if pin in ends.pins and len(ends.pins) == 1 and part.pins[pin] is not None:
            return (*part.path, ends.key)
    return part.path

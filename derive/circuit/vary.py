"""What a reader of the page may vary, held against the parts that there are.

Enters: names of parts. Leaves: the names, or a DescriptionError. Must not know: pages.

Only values that are symbols by themselves can be varied while devices stay at their bias point.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.circuit.records import Part
from derive.description.hints import quote, suggest

if TYPE_CHECKING:
    from derive.description.source import Source

VARIABLE = ("resistor", "capacitor", "inductor", "transconductance")
MOST = 6


def check_vary(names: tuple[str, ...], parts: Mapping[str, Part], source: Source) -> tuple[str, ...]:
    """The names as they are. Raises DescriptionError for a part that is not there or cannot be varied."""
    path = ("about", "vary")
    if len(names) > MOST:
        raise source.error(path, f"vary: {len(names)} parts are more than a page has room for", f"name at most {MOST}")
    possible = [name for name, part in parts.items() if part.kind in VARIABLE]
    for name in names:
        if name not in parts:
            raise source.error(path, f"vary: there is no part {quote(name)}", suggest(name, possible, "part"))
        if parts[name].kind not in VARIABLE:
            what = f"vary: {name} is a {parts[name].kind}, whose value sets the bias point, which stays fixed here"
            raise source.error(path, what, "name resistors, capacitors, inductors or transconductances")
    return names

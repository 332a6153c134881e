"""The author's spellings of symbols, held against the symbols that there are.

Enters: the description's aliases, the circuit's parts and questions. Leaves: the aliases, or a DescriptionError.
Must not know: where they are used.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from derive.circuit.records import Part, Question
from derive.circuit.symbols import symbols_of_all, why_missing
from derive.description.hints import quote, suggest

if TYPE_CHECKING:
    from derive.description.outline import Description


def check_aliases(
    description: Description, parts: Mapping[str, Part], questions: tuple[Question, ...]
) -> Mapping[str, str]:
    """The symbol that each alias stands for. Raises DescriptionError where it is none, or the alias hides a name.

    Underscores make no difference to what is written by hand, so they make none here.
    """
    source, units = description.source, symbols_of_all(parts.values())
    taken = {_plain(name): f"{name} is a symbol of the circuit already" for name in units}
    taken |= {_plain(question.name): f"{question.name} is a question already" for question in questions}
    for alias, target in description.aliases.items():
        path = ("alias", alias)
        if _plain(alias) in taken:
            raise source.error(path, f"alias: {taken[_plain(alias)]}", "choose another spelling, or leave it out")
        taken[_plain(alias)] = f"{alias} is an alias already"
        if target not in units:
            what, remedy = why_missing(target, parts) or (
                f"there is no symbol {quote(target)[1:-1]}",
                suggest(target, units, "symbol"),
            )
            raise source.error(path, f"alias: {what}", remedy)
    return description.aliases


def _plain(name: str) -> str:
    return name.replace("_", "")

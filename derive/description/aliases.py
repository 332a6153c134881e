"""The author's own spelling of symbols, as written under [alias].

Enters: the TOML data of [alias]. Leaves: symbols by alias, or a DescriptionError.
Must not know: which symbols there are.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from derive.description.characters import foreign_letter
from derive.description.hints import quote
from derive.description.names import LONGEST_PART_NAME, QUESTION_NAME, RESERVED
from derive.description.source import Source

_EXAMPLE = 'write [alias], then lines such as gm1 = "gm_Q1"'


def read_aliases(data: Any, source: Source) -> Mapping[str, str]:
    """The symbol that each alias stands for, as written. Raises DescriptionError."""
    if not isinstance(data, dict) or not data:
        what = "the table is empty" if data == {} else f"{quote(data)} is not a table of spellings"
        raise source.error(("alias",), f"alias: {what}", _EXAMPLE)
    for alias, target in data.items():
        path = ("alias", alias)
        if not QUESTION_NAME.fullmatch(alias):
            foreign = foreign_letter(alias)
            what = f"{quote(alias)} holds {foreign}" if foreign else f"{quote(alias)} is no name"
            remedy = f"a letter, then letters, digits and _, at most {LONGEST_PART_NAME}, such as gm1 (β is beta)"
            raise source.error(path, f"alias: {what}", remedy)
        if alias in RESERVED or alias in ("j", "log"):
            raise source.error(path, f"alias: {alias} has a meaning of its own in formulas", "choose another spelling")
        if not isinstance(target, str):
            raise source.error(path, f"alias: {quote(target)} is not the name of a symbol", _EXAMPLE)
    return dict(data)

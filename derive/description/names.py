"""Names: of nodes and pins, of parts, of questions, alone and in lists.

Enters: one value of the TOML data. Leaves: the name, checked, or WrongValue. Used by the models of
schema.py. Must not know: which names there are, lines.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from derive.description.characters import foreign_letter
from derive.description.hints import quote
from derive.description.values import WrongValue

LONGEST_PART_NAME = 24
LONGEST_NODE_NAME = 40
PART_NAME = re.compile(r"[A-Z][A-Za-z]*[0-9]*[A-Z]?")
NODE_NAME = re.compile(r"[A-Za-z0-9_+\-]+")
# Looser than a part's name and pin: which part is meant is told where the parts are known.
_PIN = re.compile(r"[A-Za-z][A-Za-z0-9]*\.[A-Za-z_]+")
_SYMBOL = re.compile(r"[A-Za-z][A-Za-z0-9]{0,11}_" + PART_NAME.pattern)
QUESTION_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,23}")
RESERVED = frozenset({"s", "w", "f", "i", "v", "pi", "inf", "sqrt", "log10", "abs"})


def read_node(value: object) -> str:
    """A node, or a pin such as ``Q2.collector``."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not a node", 'write the name of a node in quotes, such as "out"')
    if value.lower() in ("gnd", "ground", "gnd!", "earth") and value != "gnd":
        raise WrongValue(f"{quote(value)} is not the name of ground", "ground is written gnd")
    if not NODE_NAME.fullmatch(value) and not _PIN.fullmatch(value):
        _refuse_foreign(value)
        raise WrongValue(
            f"{quote(value)} is neither a node nor a pin",
            "a node has letters, digits, _, + and -; a pin is written like Q2.collector",
        )
    if len(value) > LONGEST_NODE_NAME:
        raise WrongValue(f"the node name {quote(value)} is too long", f"keep it to {LONGEST_NODE_NAME} characters")
    return value


def read_pair(value: object) -> tuple[str, str]:
    """Two nodes."""
    if not isinstance(value, list) or len(value) != 2:
        count = f"{quote(value)} is"
        if isinstance(value, list):
            count = "1 node is" if len(value) == 1 else f"{len(value)} nodes are"
        raise WrongValue(f"{count} given, and two nodes are expected", 'write ["a", "b"]')
    return read_node(value[0]), read_node(value[1])


def read_part_name(value: object) -> str:
    """A part that is named elsewhere; a symbol passes, to be refused where it is known whose it is."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not the name of a part", 'write it in quotes, such as "R1"')
    if not _SYMBOL.fullmatch(value) or len(value) > 2 * LONGEST_PART_NAME:
        check_part_name(value)
    return value


def check_part_name(name: str) -> None:
    """Refuse a name that no part can have."""
    if len(name) > LONGEST_PART_NAME:
        raise WrongValue(f"the part name {quote(name)} is too long", f"keep it to {LONGEST_PART_NAME} characters")
    if PART_NAME.fullmatch(name):
        return
    _refuse_foreign(name)
    rule = "a capital, letters, then digits, then at most one capital"
    likely = _mend(name)
    if likely is None:
        raise WrongValue(f"{quote(name)} is no name for a part", f"{rule}: R1, Rload or Q2A")
    if likely == name[:1].upper() + name[1:]:
        raise WrongValue(f"the part name {quote(name)} begins with a small letter", f"write {likely}")
    raise WrongValue(f"{quote(name)} is no name for a part", f"{rule}: {likely}")


def _mend(name: str) -> str | None:
    """The name of a part that was probably meant: without marks, with capitals where they belong."""
    plain = re.sub(r"[ _.\-]", "", name)
    found = re.fullmatch(r"([A-Za-z])([A-Za-z]*)([0-9]*)([A-Za-z]?)", plain)
    if found is None:
        return None
    first, letters, digits, last = found.groups()
    return first.upper() + letters + digits + (last.upper() if digits else last)


def _refuse_foreign(name: str) -> None:
    """Name the character that looks like a letter or a space and is not one of ours."""
    foreign = foreign_letter(name)
    if foreign is not None:
        raise WrongValue(f"{quote(name)} holds {foreign}", "names use the plain letters A to Z and a to z, and digits")


def read_part_names(value: object) -> tuple[str, ...]:
    """A list of parts, none of them twice; one name alone will do."""
    return _read_list(value, read_part_name, '["R1"]')


def read_question_name(value: object) -> str:
    """The name of a question."""
    if not isinstance(value, str) or not QUESTION_NAME.fullmatch(value):
        _refuse_foreign(value if isinstance(value, str) else "")
        raise WrongValue(
            f"{quote(value)} is no name for a question",
            "a letter, then letters, digits and _, at most 24, such as Zin",
        )
    if value in RESERVED:
        raise WrongValue(f"{quote(value)} has a meaning of its own in expressions", "give the question another name")
    if re.fullmatch(r"A[0-9]+", value):
        raise WrongValue(f"{value} is how assumptions are numbered", "use for example Av")
    return value


def read_question_names(value: object) -> tuple[str, ...]:
    """A list of questions; one name alone will do."""
    return _read_list(value, read_question_name, '["Zin"]')


def _read_list(value: object, read: Callable[[object], str], example: str) -> tuple[str, ...]:
    values = [value] if isinstance(value, str) else value
    if not isinstance(values, list) or not values:
        raise WrongValue(
            f"{quote(value)} is not a list of names" if values != [] else "the list is empty",
            f"write {example}",
        )
    names = tuple(read(part) for part in values)
    for index, name in enumerate(names):
        if name in names[:index]:
            raise WrongValue(f"{name} is named twice", "name it once")
    return names

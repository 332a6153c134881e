"""Types of single fields: what a text, a node, a name, a list of names may be.

Enters: one value of the TOML data. Leaves: the value, checked, or WrongValue. Used by the models of
schema.py. Must not know: which key it is, lines, circuits as a whole.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from pydantic import PlainValidator

from derive.description.hints import quote, suggest
from derive.description.values import WrongValue, read_quantity

LONGEST_PART_NAME = 24
LONGEST_NODE_NAME = 40
PART_NAME = re.compile(r"[A-Z][A-Za-z]*[0-9]*[A-Z]?")
NODE_NAME = re.compile(r"[A-Za-z0-9_+\-]+")
QUESTION_NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,23}")
RESERVED = frozenset({"s", "w", "f", "pi", "v", "inf", "sqrt", "log10", "abs"})


def read_text(value: object, longest: int = 500) -> str:
    """A free text, not empty."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not a text", "write a text in quotes")
    if not value.strip():
        raise WrongValue("the text is empty", "write something, or leave the key out")
    if len(value) > longest:
        raise WrongValue(f"the text has {len(value)} characters", f"keep it to {longest}")
    return value


def read_mark(value: object) -> str:
    """A short text that may be written as a whole number (a revision, a number)."""
    return (
        str(value)
        if isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**12
        else read_text(value, 80)
    )


def read_date(value: object) -> str:
    """A date, as TOML has it or as a text."""
    return value.isoformat() if isinstance(value, datetime.date | datetime.datetime) else read_text(value, 80)


def read_node(value: object) -> str:
    """A node, or a pin such as ``Q2.collector``."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not a node", 'write the name of a node in quotes, such as "out"')
    if value.lower() in ("gnd", "ground", "gnd!", "earth") and value != "gnd":
        raise WrongValue(f"{quote(value)} is not the name of ground", "ground is written gnd")
    plain, dot, pin = value.partition(".")
    name = PART_NAME if dot else NODE_NAME
    if not name.fullmatch(plain) or (dot and not re.fullmatch(r"[a-z_]+", pin)):
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
        count = f"{len(value)} nodes are" if isinstance(value, list) else f"{quote(value)} is"
        raise WrongValue(f"{count} given, and two nodes are expected", 'write ["a", "b"]')
    return read_node(value[0]), read_node(value[1])


def read_part_name(value: object) -> str:
    """The name of a part."""
    if not isinstance(value, str):
        raise WrongValue(f"{quote(value)} is not the name of a part", 'write it in quotes, such as "R1"')
    check_part_name(value)
    return value


def check_part_name(name: str) -> None:
    """Refuse a name that no part can have."""
    if len(name) > LONGEST_PART_NAME:
        raise WrongValue(f"the part name {quote(name)} is too long", f"keep it to {LONGEST_PART_NAME} characters")
    if not PART_NAME.fullmatch(name):
        capital = name[:1].upper() + name[1:]
        if PART_NAME.fullmatch(capital):
            raise WrongValue(f"the part name {quote(name)} begins with a small letter", f"write {capital}")
        raise WrongValue(
            f"{quote(name)} is no name for a part",
            "a capital, letters, then digits, then at most one capital: R1, Rload or Q2A",
        )


def read_part_names(value: object) -> tuple[str, ...]:
    """A list of parts, none of them twice; one name alone will do."""
    return _read_list(value, read_part_name, '["R1"]')


def read_question_name(value: object) -> str:
    """The name of a question."""
    if not isinstance(value, str) or not QUESTION_NAME.fullmatch(value):
        raise WrongValue(
            f"{quote(value)} is no name for a question",
            "a letter, then letters, digits and _, at most 24, such as Zin",
        )
    if value in RESERVED:
        raise WrongValue(f"{quote(value)} has a meaning of its own in expressions", "give the question another name")
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


def read_flag(value: object) -> bool:
    """true or false."""
    if not isinstance(value, bool):
        raise WrongValue(f"{quote(value)} is neither true nor false", "write true or false")
    return value


def read_band(value: object) -> tuple[Fraction, Fraction]:
    """Two frequencies in Hz, above zero and ascending."""
    if not isinstance(value, list) or len(value) != 2:
        raise WrongValue("a band has two frequencies", 'write ["20 Hz", "20 kHz"]')
    low, high = (read_quantity(part, "Hz").value for part in value)
    if low >= high:
        raise WrongValue("the band does not ascend", "write the lower frequency first")
    return low, high


def read_temperature(value: object) -> Fraction:
    """A temperature in K."""
    if isinstance(value, list):
        raise WrongValue("a range of temperature is not built yet", 'write one, such as "25 °C"')
    return read_quantity(value, "K").value


def read_word(value: object, known: tuple[str, ...], kind: str) -> str:
    """One of a few words."""
    if isinstance(value, str) and value in known:
        return value
    words = " or ".join(f'"{word}"' for word in known)
    hint = f"write {words}" if len(known) <= 3 else suggest(value if isinstance(value, str) else "", known, "type")
    raise WrongValue(f"{quote(value)} is not a known {kind}", hint)


def checked(read: Callable[..., Any], *arguments: Any) -> PlainValidator:
    """What makes a field of a model read its value with a function."""
    return PlainValidator(lambda value: read(value, *arguments))

"""From a complaint of a model to one message with its line.

Enters: the first complaint of pydantic, the table's key path, the keys it knows. Leaves: a DescriptionError.
Must not know: what the values mean.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from derive.circuit.parts import KINDS
from derive.description.hints import quote, suggest
from derive.description.names import PART_NAME
from derive.description.source import Path_, Source
from derive.description.values import WrongValue
from derive.errors import DescriptionError

Model = TypeVar("Model", bound=BaseModel)


def validate(
    model: type[Model], data: Any, source: Source, path: Path_, refused: Mapping[str, str] | None = None
) -> Model:
    """The table as a model; ``refused`` has keys that are not built yet.

    Raises DescriptionError for the first fault.
    """
    if not isinstance(data, dict):
        raise source.error(path, f"{subject(path, data)}{quote(data)} is not a table", "write it in { }, or under [ ]")
    for key, words in (refused or {}).items():
        if key in data:
            raise source.error((*path, key), subject(path, data) + words)
    try:
        return model.model_validate(data)
    except ValidationError as error:
        faults = error.errors(include_url=False, include_input=True)
    fault = next((one for one in faults if one["type"] == "extra_forbidden"), faults[0])
    raise _explain(fault, model, data, source, path)


def _explain(fault: Any, model: type[BaseModel], data: Any, source: Source, path: Path_) -> DescriptionError:
    where, kind = tuple(fault["loc"]), fault["type"]
    full, about = (*path, *where), subject(path, data)
    known = known_keys(model, where[:-1])
    if kind == "extra_forbidden":
        return unknown_key(source, full, fault["input"], known, about)
    if kind == "missing":
        return source.error(
            full,
            f"{about}{where[-1]} is missing",
            f"write {where[-1]} = …; {suggest('', known, 'key')}",
        )
    wrong = fault.get("ctx", {}).get("error")
    if isinstance(wrong, WrongValue):
        return source.error(full, f"{about}{'.'.join(map(str, where))}: {wrong.what}", wrong.remedy)
    return source.error(
        full,
        f"{about}{'.'.join(map(str, where))} = {quote(fault['input'])} is not a table",
        f"write it in {{ }}, with the keys {', '.join(known_keys(model, where))}",
    )


def unknown_key(source: Source, path: Path_, value: Any, known: Iterable[str], about: str) -> DescriptionError:
    """The error for a key that no table of this sort has."""
    key = str(path[-1])
    if looks_like_part(key, value):
        return source.error(path, f"the part {quote(key)[1:-1]} stands outside [parts]", "move it under [parts]")
    return source.error(path, f"{about}unknown key {quote(key)}", suggest(key, known, "key"))


def looks_like_part(key: str, value: Any) -> bool:
    """Whether a table that is not under [parts] was meant as a part."""
    if not isinstance(value, dict):
        return False
    return any(kind in value for kind in KINDS) or bool(PART_NAME.fullmatch(key))


def known_keys(model: type[BaseModel], where: tuple[str | int, ...] = ()) -> list[str]:
    """The keys that a model reads, as the author writes them; ``where`` leads into its inner tables."""
    for key in where:
        fields = {item.alias or name: item.annotation for name, item in model.model_fields.items()}
        choices = getattr(fields.get(str(key)), "__args__", ())
        inner = [one for one in choices if isinstance(one, type) and issubclass(one, BaseModel)]
        if not inner:
            return []
        model = inner[0]
    return [item.alias or name for name, item in model.model_fields.items()]


def subject(path: Path_, data: Any = None) -> str:
    """What a message is about, with a colon: a part by its name, a question by its name or number."""
    match path:
        case ("parts", name, *_):
            return f"{quote(str(name))[1:-1]}: "
        case ("question", index, *_):
            said = data.get("name") if isinstance(data, dict) else None
            return f"question {quote(said)[1:-1] if isinstance(said, str) and said else int(index) + 1}: "
        case ("assume", index, *_):
            return f"statement A{int(index) + 1}: "
        case ("hand", index, *_):
            return f"hand result {int(index) + 1}: "
        case ("criterion" | "solve" | "bench", index, *_):
            return f"{path[0]} {int(index) + 1}: "
        case ("variant", name, *_):
            return f"variant {quote(str(name))[1:-1]}: "
        case ("about" | "bias" | "drawing" | "scan" | "tolerance" | "choice", *_):
            return f"{path[0]}: "
    return ""

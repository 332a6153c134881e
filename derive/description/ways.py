"""Which values of one device go together: exactly one of its ways to be stated, no value in two forms.

Enters: the keys that one part states. Leaves: nothing, or a DescriptionError.
Must not know: the sizes of values, other parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from derive.circuit.kinds import Group, Kind, Way
from derive.circuit.records import Quantity
from derive.description.hints import a, join_and
from derive.description.source import Source
from derive.errors import DescriptionError


def check_ways(name: str, kind: Kind, values: Mapping[str, Quantity], source: Source) -> None:
    """Refuse a device that is stated in no way, or in two ways at once. Raises DescriptionError."""
    _check_forms(name, kind.shared, values, source)
    if not kind.ways:
        return
    given = [value.key for value in kind.values if value.record_name in values and value.key not in kind.shared_keys]
    fitting = [way for way in kind.ways if set(given) <= way.keys]
    if not fitting:
        raise _mixed(name, kind, given, source)
    _check_forms(name, [group for way in fitting for group in way.groups], values, source)
    lacks = [_missing(way, given) for way in fitting]
    if not all(lacks):
        return
    if not given:
        what = f"{name} states nothing of what it does"
        raise source.error(("parts", name), what, f"state {_ways(kind)}")
    # A way that lacks what another lacks and more need not be told.
    least = [one for one in lacks if not any(set(other) < set(one) for other in lacks)]
    what = f"{name} states {join_and(given)} without {join_and(group[0] for group in least[0])}"
    raise source.error(("parts", name), what, f"add {', or '.join(dict.fromkeys(map(_words, least)))}")


def _missing(way: Way, given: list[str]) -> tuple[Group, ...]:
    return tuple(group for group in way.needs if not set(group) & set(given))


def _check_forms(name: str, groups: Iterable[Group], given: Mapping[str, Quantity], source: Source) -> None:
    """Refuse two keys of one group."""
    for group in groups:
        first, *more = [key for key in group if key in given] or [""]
        if more:
            what = f"{name} states both {first} and {more[0]}, which say the same"
            raise source.error(("parts", name, more[0]), what, "leave one of them out")


def _mixed(name: str, kind: Kind, given: list[str], source: Source) -> DescriptionError:
    """The error for keys that belong to different ways of stating a device."""
    best = max(kind.ways, key=lambda way: len(way.keys & set(given)))
    stray = next(key for key in given if key not in best.keys)
    with_it = [key for key in given if key in best.keys]
    return source.error(
        ("parts", name, stray),
        f"{name}: {stray} does not go together with {join_and(with_it)}",
        f"{a(kind.name)} states {_ways(kind)}; leave {stray} out",
    )


def _ways(kind: Kind) -> str:
    """What each way needs; of one that needs nothing, what it may have."""
    return "; or ".join(_words(way.needs) if way.needs else f"any of {_words(way.may_have)}" for way in kind.ways)


def _words(groups: tuple[Group, ...]) -> str:
    """Groups as a sentence lists them: ``idss and vp (or yfs)``."""
    return join_and(first + (f" (or {' or '.join(more)})" if more else "") for first, *more in groups)

"""The files beside a description that it names: readings, a picture of the circuit.

Enters: the bytes of a description, its folder. Leaves: names. Must not know: what they are for.
"""

from __future__ import annotations

import re
from pathlib import Path

QUOTED = re.compile(r"""\"([^\"\n]{1,200})\"|'([^'\n]{1,200})'""")


def files_named(raw: bytes, folder: Path) -> list[str]:
    """Every string of the description that is the name of a file within its folder."""
    strings = {name for pair in QUOTED.findall(raw.decode("utf-8", "replace")) for name in pair if name}
    inside = (n for n in strings if "\0" not in n and not Path(n).is_absolute() and ".." not in Path(n).parts)
    return sorted(name for name in inside if is_file(folder / name))


def is_file(path: Path) -> bool:
    """Whether there is such a file; odd names are none."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False

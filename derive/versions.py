"""The versions that a sheet depends on, printed at its end and kept in its record.

Enters: nothing. Leaves: names and versions. Must not know: what they are used for.
"""

from __future__ import annotations

import platform
from importlib.metadata import version

PACKAGES = ("derive", "python-flint", "sympy", "lcapy", "numpy", "mpmath", "matplotlib", "jinja2", "pylatex")


def versions() -> dict[str, str]:
    """Versions of this package, of Python and of the packages that numbers and pages come from."""
    return {**{name: version(name) for name in PACKAGES}, "Python": platform.python_version()}

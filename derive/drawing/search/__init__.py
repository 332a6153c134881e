"""Placing by simulated annealing: compiled loops over plain arrays.

Enters: a board of numbers. Leaves: places, variants and a first course for each wire.
Must not know: names, words, records of drawings.

The first drawing on a machine compiles these loops (some seconds); the compiled code is kept beside them, or in the
user's cache where that cannot be written. A kept function does not notice that one which it calls has changed, so
the place where they are kept goes by the content of all of them.
"""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

import numba

HERE = Path(__file__).parent
DIGEST = sha256(b"".join(path.read_bytes() for path in sorted(HERE.glob("*.py")))).hexdigest()[:16]
numba.config.CACHE_DIR = str(HERE / "__pycache__" / DIGEST)  # type: ignore[attr-defined]

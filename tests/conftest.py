"""What all tests share: a source of random numbers that is the same every time."""

from __future__ import annotations

from random import Random

import pytest


@pytest.fixture
def source(request: pytest.FixtureRequest) -> Random:
    """Random numbers of this test's own, seeded by its name, so that a failure can be repeated."""
    return Random(request.node.name)

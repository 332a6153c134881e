"""The sample worksheet and the reader of set algebra, for all tests of the page."""

from __future__ import annotations

import importlib.util
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest


def _load(name: str) -> ModuleType:
    path = Path(__file__).with_name(f"{name}.py")
    spec = importlib.util.spec_from_file_location(f"typeset_{name}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that need TeX are skipped where it is missing."""
    if shutil.which("pdflatex") is None:
        for item in items:
            if item.get_closest_marker("tex"):
                item.add_marker(pytest.mark.skip(reason="pdflatex is not on this machine"))


def _text_of(pdf: bytes, folder: Path) -> str:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not on this machine")
    (folder / "page.pdf").write_bytes(pdf)
    run = ["pdftotext", "-layout", "page.pdf", "-"]
    return subprocess.run(run, cwd=folder, capture_output=True, check=True, timeout=60).stdout.decode()


@pytest.fixture(scope="session")
def text_of() -> Callable[[bytes, Path], str]:
    """What a reader finds in a PDF; its second argument is a folder to work in."""
    return _text_of


@pytest.fixture(scope="session")
def sample() -> ModuleType:
    return _load("sample")


@pytest.fixture(scope="session")
def reader() -> ModuleType:
    return _load("reader")

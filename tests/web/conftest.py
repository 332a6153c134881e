"""A browser and a JavaScript engine for the tests of pages; a page of a worked example.

Where neither is on the machine the tests that need one are skipped, and say so.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

WORKED = Path(__file__).parents[2] / "worked"
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--virtual-time-budget=4000")
SECONDS = 120


class Browser:
    """Chromium without a window. ``after``: a script run when the page has loaded; ``scripts`` False: none runs."""

    def __init__(self, path: str, folder: Path) -> None:
        self.path, self.folder, self.count = path, folder, 0

    def dom(self, html: str, after: str = "", *flags: str) -> str:
        """The page's elements as text after its scripts and ``after`` have run."""
        return self.run(self.page(html, after), "--dump-dom", *flags)

    def page(self, html: str, after: str = "") -> Path:
        self.count += 1
        page = self.folder / f"page{self.count}.html"
        run = f"<script>addEventListener('load',()=>{{{after}}});</script></body>"
        page.write_text(html.replace("</body>", run) if after else html, "utf-8")
        return page

    def run(self, page: Path, *flags: str) -> str:
        command = [self.path, *FLAGS, f"--user-data-dir={self.folder / 'profile'}", *flags, page.as_uri()]
        done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=SECONDS)
        return done.stdout


@pytest.fixture(scope="session")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Browser:
    return a_browser(tmp_path_factory)


def a_browser(tmp_path_factory: pytest.TempPathFactory) -> Browser:
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("chromium is not on this machine (worked/prepare installs it with apt where it can)")
    return Browser(path, tmp_path_factory.mktemp("browser"))


@pytest.fixture(scope="session")
def engine() -> Any:
    """Runs a script in node and gives what it printed as JSON."""
    path = shutil.which("node")
    if path is None:
        pytest.skip("node is not on this machine; the test in chromium compares the same numbers")

    def run(script: str) -> Any:
        done = subprocess.run([path, "-"], input=script, capture_output=True, text=True, timeout=SECONDS)
        assert done.returncode == 0, done.stderr[:2000]
        return json.loads(done.stdout)

    return run

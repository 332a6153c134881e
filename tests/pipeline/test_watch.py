"""A page that follows its description: the last good one stays, a newer one is found, nothing is served."""

from __future__ import annotations

import json
import os
import re
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from derive.command import app
from derive.errors import DescriptionError
from derive.watch import Watch, follow
from derive.web.page import bare
from tests.web.conftest import a_browser

FILE = Path("sheet.toml")


class Folder:
    """What was published, in order."""

    def __init__(self) -> None:
        self.states: list[dict[str, bytes]] = []

    def publish(self, files: dict[str, bytes]) -> None:
        self.states.append(files)

    def stamp(self, place: int = -1) -> dict[str, str]:
        text = self.states[place]["stamp.js"].decode()
        return json.loads(re.fullmatch(r"window\.stamped\((.*)\);\n", text).group(1))

    def page(self, place: int = -1) -> str:
        return self.states[place]["worksheet.html"].decode()


def watch(folder: Folder, texts: list[str]) -> Watch:
    """A watch over texts, of which those that begin with a mark are wrong."""

    def build():
        text = texts.pop(0)
        if text.startswith("!"):
            raise DescriptionError("sheet.toml", 3, text, "")
        return lambda stamp: f"<p>{text}</p>{stamp}"

    return Watch(build, bare, folder.publish, lambda _: None)


def test_the_last_good_page_stays_with_the_message_beside_it():
    folder = Folder()
    found = watch(folder, ["one", "!</script><b>", "two"])
    found.rebuild()
    first = folder.stamp()["stamp"]
    assert first
    assert first in folder.page()
    found.rebuild()
    assert folder.page(1) == folder.page(0)
    assert folder.stamp()["stamp"] == ""
    assert "!</script><b>" in folder.stamp()["wrong"]
    assert b"</script>" not in folder.states[1]["stamp.js"]
    found.rebuild()
    assert "two" in folder.page()
    assert folder.stamp()["wrong"] == ""
    assert folder.stamp()["stamp"] not in ("", first)


def test_a_description_that_is_wrong_from_the_start_has_a_page_that_waits():
    folder = Folder()
    found = watch(folder, ["!wrong", "one"])
    found.rebuild()
    assert "No sheet yet" in folder.page()
    assert f'data-stamp="{folder.stamp()["stamp"]}"' in folder.page()
    found.rebuild()
    assert "one" in folder.page()
    found.close()
    assert folder.states[-1] == {"worksheet.html": b"<p>one</p>"}


def test_a_saved_file_is_built_anew(tmp_path):
    path = tmp_path / FILE
    path.write_text("a")
    folder = Folder()
    found = watch(folder, ["one", "two"])
    looks = 0

    def sleep(_seconds: float) -> None:
        nonlocal looks
        looks += 1
        if looks == 3:
            path.write_text("bb")
            os.utime(path, ns=(time.time_ns() + 10**9, time.time_ns() + 10**9))
        if looks == 6:
            raise KeyboardInterrupt

    follow(path, found, sleep=sleep)
    assert found.count == 2
    assert folder.states[-1] == {"worksheet.html": b"<p>two</p>"}


def test_in_the_browser_a_page_reloads_itself_and_shows_what_is_wrong(browser, tmp_path):
    old, new = bare("build-1"), bare("build-2").replace("No sheet yet", "A newer sheet")
    page, stamp = tmp_path / "worksheet.html", tmp_path / "stamp.js"
    # The stamp names a newer build than the page's own: the page asks for itself again, and finds it as it is.
    page.write_text(old.replace("location.reload()", "document.title='reloads'"))
    stamp.write_text('window.stamped({"stamp":"build-2","wrong":""});')
    assert "<title>reloads</title>" in browser.run(page, "--dump-dom")
    page.write_text(new)
    stamp.write_text('window.stamped({"stamp":"","wrong":"line 3: <b>not so</b>"});')
    dom = browser.run(page, "--dump-dom")
    assert '<p class="failure" role="alert">line 3: &lt;b&gt;not so&lt;/b&gt;</p>' in dom


def test_one_description_is_followed():
    result = CliRunner().invoke(app, ["worksheet", "a.toml", "b.toml", "--watch"])
    assert result.exit_code == 2
    assert "--watch follows one description" in result.output


@pytest.fixture
def browser(tmp_path_factory):
    return a_browser(tmp_path_factory)

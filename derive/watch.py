"""A page that follows its description while it is being written.

Enters: the path of a description, a folder. Leaves: the page, rebuilt whenever the file is saved, until stopped.
Must not know: what a page holds.

While watching there is no PDF and no second opinion. Beside the page lies ``stamp.js``, which names the build and
holds what is wrong with the description; the page loads it again and again, which needs no server, and reloads itself
when a new build is there. When the description is wrong the last good page stays, with the message on it.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from derive.errors import Defect, DeriveError

EVERY = 0.15
"""Seconds between looks at the file."""
PAGE, STAMP = "worksheet.html", "stamp.js"
Make = Callable[[str], str]
"""The page for a stamp; an empty stamp is that of a page that is no longer watched."""


@dataclass
class Watch:
    """``build`` reads the description and gives what makes its page; ``publish`` replaces the files of the folder."""

    build: Callable[[], Make]
    bare: Callable[[str], str]
    """A page without a sheet, for a description that was wrong from the start."""
    publish: Callable[[dict[str, bytes]], None]
    told: Callable[[str], None]
    count: int = 0
    good: Make | None = None
    page: str = ""
    taken: list[float] = field(default_factory=list)
    """Seconds of each build."""

    def rebuild(self) -> None:
        """One build: a new page, or the last good one with what is wrong."""
        self.count += 1
        stamp, wrong = f"build-{self.count}-{time.time_ns()}", ""
        start = time.perf_counter()
        try:
            good = self.build()
            self.page, self.good = good(stamp), good
        except DeriveError as error:
            wrong = f"a check inside the program failed: {error}" if isinstance(error, Defect) else str(error)
        except Exception as error:
            wrong = f"a fault of this program: {type(error).__name__}: {error}"
        self.taken.append(time.perf_counter() - start)
        if wrong and self.good is None:
            self.page = self.bare(stamp)
        elif wrong:
            stamp = ""
        self._publish(stamp, wrong)
        self.told(wrong or f"rebuilt in {self.taken[-1]:.1f} s")

    def _publish(self, stamp: str, wrong: str) -> None:
        # The text goes into a script: JSON in ASCII, and nothing that could end a script in a page.
        message = json.dumps({"stamp": stamp, "wrong": wrong}).replace("<", "\\u003c")
        self.publish({PAGE: self.page.encode(), STAMP: f"window.stamped({message});\n".encode()})

    def close(self) -> None:
        """Leaves the last good page as one that is no longer watched."""
        if self.good is not None:
            self.publish({PAGE: self.good("").encode()})


def follow(path: Path, watch: Watch, *, sleep: Callable[[float], None] = time.sleep) -> None:
    """Builds now and whenever the file has changed, until interrupted from the keyboard."""
    seen: object = None
    try:
        while True:
            now = _state(path)
            if now != seen:
                seen = now
                watch.rebuild()
            sleep(EVERY)
    except KeyboardInterrupt:
        watch.close()


def _state(path: Path) -> object:
    """What changes when a file is saved; None while it is not there, as when an editor is just replacing it."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino

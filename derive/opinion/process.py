"""The worker's process: started without waiting, read at the end, never left behind.

Enters: jobs (records of JSON). Leaves: the worker's records by key.
Must not know: inquiries, netlists, verdicts.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import weakref
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

COMMAND = (sys.executable, "-P", "-m", "derive.opinion.worker")
ROOT = Path(__file__).resolve().parents[2]
Record = Mapping[str, Any]


class Process:
    """A running worker. It is ended, and its folder removed, when it is read, forgotten, or Python exits."""

    def __init__(self, jobs: list[Any]) -> None:
        self._began = time.monotonic()
        self.folder = Path(tempfile.mkdtemp(prefix="derive-opinion-"))
        self._process = _launch(self.folder, jobs)
        self.pid = self._process.pid
        self._end = weakref.finalize(self, _end, self._process, self.folder)

    def read(self, timeout: float) -> tuple[dict[int, Record], bool]:
        """What the worker has answered, by key, and whether it had finished by itself.

        ``timeout``: seconds since the start. A worker still running then is killed with its whole group.
        """
        finished = self._wait(timeout)
        records = _read_records(self.folder / "answers")
        self._end()
        return records, finished

    def _wait(self, timeout: float) -> bool:
        remaining = max(0.0, self._began + timeout - time.monotonic())
        try:
            self._process.wait(remaining)
        except subprocess.TimeoutExpired:
            return False
        return True


def _launch(folder: Path, jobs: list[Any]) -> subprocess.Popen[bytes]:
    """Starts the worker. Files stand for pipes, so that nobody ever waits for the other to read."""
    (folder / "jobs").write_text(json.dumps(jobs), encoding="utf-8")
    (folder / "home").mkdir()
    paths = [str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])]
    environment = {
        **os.environ,
        "HOME": str(folder / "home"),
        "TMPDIR": str(folder / "home"),
        "PYTHONPATH": os.pathsep.join(paths),
        "MPLBACKEND": "agg",
        "OPENBLAS_NUM_THREADS": "1",
    }
    with (
        (folder / "jobs").open("rb") as jobs_file,
        (folder / "answers").open("wb") as answers,
        (folder / "messages").open("wb") as messages,
    ):
        return subprocess.Popen(
            COMMAND,
            cwd=folder / "home",
            env=environment,
            start_new_session=True,
            stdin=jobs_file,
            stdout=answers,
            stderr=messages,
        )


def _read_records(file: Path) -> dict[int, Record]:
    """The worker's answers by key. A last line cut short by the kill is left out."""
    records: dict[int, Record] = {}
    if file.exists():
        for line in file.read_text(encoding="utf-8").splitlines():
            with suppress(json.JSONDecodeError):
                record = json.loads(line)
                if "key" in record:
                    records[record["key"]] = record
    return records


def _end(process: subprocess.Popen[bytes], folder: Path) -> None:
    """Kills the process group, the worker's children included, and removes the folder."""
    if process.poll() is None:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()
    shutil.rmtree(folder, ignore_errors=True)

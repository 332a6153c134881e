"""Many descriptions, one after the other or side by side; one that fails never stops the rest.

Enters: paths, an output folder, what is wanted. Leaves: folders, what the terminal says, the worst exit status.
Must not know: how a sheet is made.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from derive.errors import DeriveError
from derive.one_sheet import CLAIM_FALSE, NO_CLAIM, Outcome, Wanted, make_sheet

WRONG_INPUT = 2
Say = Callable[[str], None]


class CannotSpread(DeriveError):
    """The work cannot be spread over processes as it was asked for."""


@dataclass(frozen=True)
class Job:
    path: Path
    folder: Path
    wanted: Wanted


def run(
    paths: Sequence[Path], output: Path, wanted: Wanted, say: Say, complain: Say, *, jobs: int = 1, scheduler: str = ""
) -> int:
    """Makes all sheets; the exit status is that of the worst."""
    work, status = _jobs(paths, output, wanted, complain)
    outcomes: list[Outcome] = []
    try:
        for outcome in _all(work, jobs, scheduler):
            _tell(outcome, say, complain)
            outcomes.append(outcome)
            if len(work) > 1 and sys.stderr.isatty():
                complain(f"{len(outcomes)} of {len(work)}")
    except DeriveError as error:
        complain(str(error))
        return error.exit_status
    failed = [o for o in outcomes if o.failed]
    if failed and len(work) > 1:
        complain(f"{len(failed)} of {len(work)} failed: {', '.join(str(o.path) for o in failed)}")
    return max([status, *(o.status for o in outcomes)], key=_severity, default=status)


def _severity(status: int) -> int:
    """A false claim is milder than a sheet that is not there; otherwise the larger number is the worse."""
    return {NO_CLAIM: 0, CLAIM_FALSE: 1}.get(status, status)


def _jobs(paths: Sequence[Path], output: Path, wanted: Wanted, complain: Say) -> tuple[list[Job], int]:
    """A folder for each path; two that would share one are refused."""
    folders: dict[Path, Path] = {}
    status = NO_CLAIM
    for path in paths:
        folder = output / path.stem
        if folder in folders and folders[folder] != path:
            complain(f"{path} and {folders[folder]} would both be written to {folder}: rename one")
            status = WRONG_INPUT
            continue
        folders[folder] = path
    return [Job(path, folder, wanted) for folder, path in folders.items()], status


def _all(work: Sequence[Job], jobs: int, scheduler: str) -> Iterator[Outcome]:
    """The outcomes as they come."""
    if scheduler:
        yield from _on_cluster(work, scheduler)
    elif jobs == 1 or len(work) < 2:
        for job in work:
            with _Progress(job.path.name) as told:
                outcome = make_sheet(job.path, job.folder, job.wanted, told)
            yield outcome
    else:
        yield from _side_by_side(work, jobs)


def _one(job: Job) -> Outcome:
    return make_sheet(job.path, job.folder, job.wanted)


def _side_by_side(work: Sequence[Job], jobs: int) -> Iterator[Outcome]:
    from joblib import Parallel, delayed

    yield from Parallel(n_jobs=jobs, return_as="generator_unordered")(delayed(_one)(job) for job in work)


def _on_cluster(work: Sequence[Job], scheduler: str) -> Iterator[Outcome]:
    """On the workers of a Dask scheduler, which must see the same files under the same names."""
    try:
        from distributed import Client
        from joblib import Parallel, delayed, parallel_config
    except ImportError:
        raise CannotSpread("--scheduler needs the package distributed: pip install 'derive[cluster]'") from None
    try:
        client = Client(scheduler, timeout="10s", set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise CannotSpread(f"no scheduler answers at {scheduler}: {error}") from None
    resolved = [Job(job.path.resolve(), job.folder.resolve(), job.wanted) for job in work]
    with client, parallel_config(backend="dask", client=client):
        yield from Parallel()(delayed(_one)(job) for job in resolved)


def _tell(outcome: Outcome, say: Say, complain: Say) -> None:
    for file in outcome.files:
        say(f"{file} (nothing had changed)" if outcome.kept else file)
    for words in outcome.said:
        complain(words)


class _Progress:
    """A line on the terminal that says what is being done; nothing where errors go to a file."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.shown = sys.stderr.isatty()

    def __enter__(self) -> Callable[[str], None]:
        if not self.shown:
            return lambda _: None
        from rich.console import Console

        self.status = Console(stderr=True).status(self.name)
        self.status.start()
        return lambda words: self.status.update(f"{self.name}: {words}")

    def __exit__(self, *_: object) -> None:
        if self.shown:
            self.status.stop()

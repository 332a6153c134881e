"""Many sheets: what is kept, what is made anew, and that one bad description never stops the rest."""

from __future__ import annotations

from pathlib import Path

import pytest

from derive.batch import run
from derive.one_sheet import STAMP, Wanted, make_sheet

DIVIDER = """
[about]
title = "Invented divider"
[parts]
Vs = { signal = "voltage", between = ["in", "gnd"] }
R1 = { resistor = "VALUE", between = ["in", "out"] }
R2 = { resistor = "1k", between = ["out", "gnd"] }
[[question]]
name = "A"
gain = { from = "in", to = "out" }
"""
PLAIN = Wanted(pdf=False, opinion=False)


def described(folder: Path, name: str, value: str = "1k") -> Path:
    path = folder / f"{name}.toml"
    path.write_text(DIVIDER.replace("VALUE", value), "utf-8")
    return path


@pytest.fixture
def words() -> tuple[list[str], list[str]]:
    return [], []


def test_a_sheet_is_kept_until_something_changes(tmp_path: Path) -> None:
    path, folder = described(tmp_path, "one"), tmp_path / "build" / "one"
    assert not make_sheet(path, folder, PLAIN).kept
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    assert make_sheet(path, folder, PLAIN).kept
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before
    described(tmp_path, "one", "2k")
    assert not make_sheet(path, folder, PLAIN).kept
    assert (folder / "record.json").read_bytes() != before["record.json"]


@pytest.mark.parametrize("spoil", ["change", "remove", "add", "stamp"])
def test_a_folder_that_was_touched_is_made_anew(tmp_path: Path, spoil: str) -> None:
    path, folder = described(tmp_path, "one"), tmp_path / "one"
    make_sheet(path, folder, PLAIN)
    match spoil:
        case "change":
            (folder / "record.json").write_text("{}")
        case "remove":
            (folder / "worksheet.tex").unlink()
        case "add":
            (folder / "notes.txt").write_text("mine")
        case "stamp":
            (folder / STAMP).write_text("[]")
    assert not make_sheet(path, folder, PLAIN).kept
    assert make_sheet(path, folder, PLAIN).kept


def test_other_wishes_make_it_anew(tmp_path: Path) -> None:
    path, folder = described(tmp_path, "one"), tmp_path / "one"
    make_sheet(path, folder, PLAIN)
    assert not make_sheet(path, folder, Wanted(pdf=False, opinion=False, fresh=True)).kept
    assert make_sheet(path, folder, PLAIN).kept
    assert not make_sheet(path, folder, Wanted(pdf=False, opinion=True)).kept


def test_a_file_that_the_description_names_counts(tmp_path: Path) -> None:
    path, folder = described(tmp_path, "one"), tmp_path / "one"
    path.write_text(path.read_text("utf-8").replace("Invented divider", "readings.csv"), "utf-8")
    (tmp_path / "readings.csv").write_text("1\n")
    make_sheet(path, folder, PLAIN)
    assert make_sheet(path, folder, PLAIN).kept
    (tmp_path / "readings.csv").write_text("2\n")
    assert not make_sheet(path, folder, PLAIN).kept


@pytest.mark.parametrize("jobs", [1, 2])
def test_one_bad_description_stops_no_other(tmp_path: Path, jobs: int, words: tuple[list[str], list[str]]) -> None:
    said, complained = words
    paths = [described(tmp_path, "one"), described(tmp_path, "bad", "1 lamp"), described(tmp_path, "two", "3k")]
    status = run(paths, tmp_path / "build", PLAIN, said.append, complained.append, jobs=jobs)
    assert status == 2
    assert sorted(p.name for p in (tmp_path / "build").iterdir()) == ["one", "two"]
    assert sorted({Path(line).parent.name for line in said}) == ["one", "two"]
    assert complained[-1] == f"1 of 3 failed: {paths[1]}"


def test_two_of_one_name_are_refused(tmp_path: Path, words: tuple[list[str], list[str]]) -> None:
    (tmp_path / "sub").mkdir()
    paths = [described(tmp_path, "one"), described(tmp_path / "sub", "one")]
    assert run(paths, tmp_path / "build", PLAIN, words[0].append, words[1].append) == 2
    assert "rename one" in words[1][0]


def test_a_scheduler_that_does_not_answer(tmp_path: Path, words: tuple[list[str], list[str]]) -> None:
    pytest.importorskip("distributed")
    paths = [described(tmp_path, "one")]
    status = run(
        paths, tmp_path, PLAIN, words[0].append, words[1].append, scheduler="tcp://127.0.0.1:1"
    )  # fmt: skip
    assert status == 2
    assert "no scheduler answers at tcp://127.0.0.1:1" in words[1][0]


@pytest.mark.slow
def test_a_local_cluster(tmp_path: Path, words: tuple[list[str], list[str]]) -> None:
    distributed = pytest.importorskip("distributed")
    paths = [described(tmp_path, name) for name in ("one", "two", "three")]
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        status = run(
            paths, tmp_path / "build", PLAIN, words[0].append, words[1].append, scheduler=cluster.scheduler_address
        )
    assert status == 0
    assert sorted(p.name for p in (tmp_path / "build").iterdir()) == ["one", "three", "two"]


def test_frames_within_the_folder_do_not_make_a_sheet_anew(tmp_path: Path) -> None:
    path, folder = described(tmp_path, "one"), tmp_path / "one"
    make_sheet(path, folder, PLAIN)
    (folder / "frames").mkdir()
    assert make_sheet(path, folder, PLAIN).kept
    assert (folder / "frames").is_dir()
    described(tmp_path, "one", "2k")
    make_sheet(path, folder, PLAIN)
    assert not (folder / "frames").exists(), "frames of another circuit do not stay"

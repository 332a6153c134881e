"""Verdicts, limits of time, and what the second opinion keeps away from."""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from derive.algebra.spectrum import Spectrum
from derive.opinion import process
from derive.opinion.second import start
from derive.opinion.verdict import Opinion, compare

HANGS = """
import subprocess, time
print(subprocess.Popen(["sleep", "60"]).pid, file=open({!r}, "w"), flush=True)
{}
time.sleep(60)
"""


def is_alive(pid: int) -> bool:
    """Whether the process runs; a kill takes effect a moment after it was sent, so "no" may take two seconds."""
    stat = Path(f"/proc/{pid}/stat")
    end = time.monotonic() + 2
    while time.monotonic() < end:
        try:
            if stat.read_text().rpartition(")")[2].split()[0] == "Z":
                return False
        except (FileNotFoundError, ProcessLookupError):
            return False
        if not stat.parent.exists():
            return False
        time.sleep(0.02)
    return True


def hanging(tmp_path: Path, first: str = "pass") -> tuple[str, ...]:
    return (sys.executable, "-c", HANGS.format(str(tmp_path / "child"), first))


def wait_for_child(tmp_path: Path) -> int:
    end = time.monotonic() + 20
    while time.monotonic() < end:
        if (tmp_path / "child").exists() and (text := (tmp_path / "child").read_text()):
            return int(text)
        time.sleep(0.02)
    raise AssertionError("the child never started")


def test_confirmed_and_planted_disagreements(stage, two_cases, values):
    cases = [stage, *two_cases]
    pending = start([case.inquiry for case in cases], values)
    spectra = {case.inquiry.name: Spectrum(*case.expected) for case in cases}
    name, other, last = spectra
    spectra[other] = Spectrum(tuple(-c for c in spectra[other].numerator), spectra[other].denominator)
    *most, top = spectra[last].denominator
    spectra[last] = Spectrum(spectra[last].numerator, (*most, top * (1 + Fraction(1, 10**40))))
    verdicts = pending.collect(spectra, 60)
    assert [(v.name, v.outcome) for v in verdicts] == [
        (name, "confirmed"), (other, "disagrees"), (last, "disagrees")
    ]
    assert verdicts[0].why == ""
    assert all(v.seconds > 0 for v in verdicts)
    assert pending.collect({}, 60)[0].why == "there is no answer to compare with"


def test_a_hung_worker_is_killed_with_its_children(stage, monkeypatch, tmp_path):
    monkeypatch.setattr(process, "COMMAND", hanging(tmp_path))
    pending = start([stage.inquiry], stage.values)
    child = wait_for_child(tmp_path)
    assert is_alive(child)
    began = time.monotonic()
    (verdict,) = pending.collect({}, 0.1)
    assert time.monotonic() - began < 5
    assert (verdict.outcome, verdict.why) == ("not available", "lcapy gave no answer within 0.1 s")
    assert not is_alive(pending.process.pid)
    assert not is_alive(child)
    assert not pending.process.folder.exists()


def test_what_was_answered_before_the_limit_counts(stage, monkeypatch, tmp_path):
    lines = '{"key": 0, "numerator": ["-7/2"], "denominator": ["1"], "seconds": 1}\n{"key": 1, "nu'
    monkeypatch.setattr(process, "COMMAND", hanging(tmp_path, f"print({lines!r}, flush=True)"))
    pending = start([stage.inquiry, replace(stage.inquiry, name="second")], stage.values)
    wait_for_child(tmp_path)
    time.sleep(0.3)
    found = pending.opinions(0)
    assert found[stage.inquiry.name] == Opinion((Fraction(-7, 2),), (Fraction(1),), 1.0)
    assert found["second"] == "lcapy gave no answer within 0 s"


def test_a_forgotten_opinion_leaves_nothing_behind(stage, monkeypatch, tmp_path):
    monkeypatch.setattr(process, "COMMAND", hanging(tmp_path))
    pending = start([stage.inquiry], stage.values)
    child, folder = wait_for_child(tmp_path), pending.process.folder
    del pending
    assert not is_alive(child)
    assert not folder.exists()


def test_a_worker_that_dies_says_so(stage, monkeypatch):
    monkeypatch.setattr(process, "COMMAND", (sys.executable, "-c", "raise SystemExit(1)"))
    (verdict,) = start([stage.inquiry], stage.values).collect({}, 20)
    assert verdict.why == "lcapy ended without an answer"


def test_starting_does_not_wait(stage):
    began = time.monotonic()
    pending = start([stage.inquiry], stage.values)
    assert time.monotonic() - began < 0.5
    pending.opinions(0)


def test_settings_in_the_working_folder_are_not_read(stage, monkeypatch, tmp_path):
    (tmp_path / "lcapyrc").write_text("no_such_setting: 1\n")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    spectra = {stage.inquiry.name: Spectrum(*stage.expected)}
    (verdict,) = start([stage.inquiry], stage.values).collect(spectra, 60)
    assert verdict.outcome == "confirmed"


def test_singular_and_unconnected_questions_are_not_available(stage):
    floating = replace(stage.inquiry, name="floating", port=("x", "y"), above=("c", "gnd"))
    nowhere = replace(stage.inquiry, name="nowhere", above=("z", "gnd"))
    found = start([floating, nowhere, stage.inquiry], stage.values).collect({}, 60)
    assert [v.why for v in found] == [
        "its equations have no single solution",
        "nothing is connected to a node that is asked for",
        "there is no answer to compare with",
    ]


def test_comparison_refuses_too_few_points_and_vanishing_denominators():
    one, zero = Fraction(1), Fraction(0)
    mine, theirs = Spectrum((one,), (one, one)), Opinion((one, zero), (one, one, zero))
    assert compare(mine, theirs)
    with pytest.raises(ValueError, match="3 values of s"):
        compare(mine, theirs, [one, one, zero])
    assert not compare(mine, Opinion((zero,), (zero,)))
    assert not compare(Spectrum((zero,), (zero,)), theirs)


def run(code: str) -> str:
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    return done.stdout.strip()


def test_importing_the_second_opinion_imports_no_heavy_library():
    loaded = run("import derive.opinion, derive.opinion.second, sys; print(*sys.modules)").split()
    assert not {"lcapy", "sympy", "numpy", "flint", "derive.kernel"} & {*loaded}


def test_the_worker_imports_no_derivation_code():
    code = (
        "import sys; from derive.opinion.worker import answer_job\n"
        "job = {'netlist': 'V1 1 0 s {1/1}\\nR1 1 2 {3/1}\\nR2 2 0 {1/1}\\n',"
        " 'asks': [{'key': 0, 'above': [2, 0], 'below': None}]}\n"
        "(answer,) = answer_job(job)\n"
        "from fractions import Fraction as F\n"
        "print(F(answer['numerator'][0]) / F(answer['denominator'][0]), 'lcapy' in sys.modules)\n"
        "print(*[m for m in sys.modules if m.split('.')[0] == 'derive'])"
    )
    assert run(code).split() == ["1/4", "True", "derive", "derive.opinion", "derive.opinion.worker"]


def test_the_numeric_solution_imports_no_kernel():
    loaded = run("import derive.opinion.numeric, sys; print(*sys.modules)").split()
    ours = {name for name in loaded if name.startswith("derive.") and not name.startswith("derive.opinion")}
    assert not {name for name in ours if name.startswith(("derive.kernel", "derive.algebra"))}
    assert "lcapy" not in loaded

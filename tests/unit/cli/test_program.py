"""How the program ends when it is stopped, when nobody reads on, and when a disk is full."""

import errno
import os
from pathlib import Path

import pytest

from leeward import flow
from leeward.cli import case_commands
from tests.unit.cli.front_door import example, run


def test_stopped_by_hand_it_says_so_and_writes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(flow, "plan", stopped)
    ran = run("plan", example("ordinary"), "--out", tmp_path / "plan")
    assert ran.code == 130
    assert "! stopped by hand: every file written so far is whole" in ran.complained
    assert "Traceback" not in ran.err
    assert list(tmp_path.iterdir()) == []


def test_piped_into_a_program_that_stopped_reading_it_ends_quietly(
    monkeypatch: pytest.MonkeyPatch,
):
    def closed(*_: object) -> None:
        raise BrokenPipeError(errno.EPIPE, os.strerror(errno.EPIPE))

    monkeypatch.setattr(case_commands, "heading", closed)
    ran = run("check", example("ordinary"))
    assert ran.code == 141
    assert ran.err == ""


def test_of_a_name_too_long_only_the_beginning_is_told(tmp_path: Path):
    ran = run("new", tmp_path / ("x" * 4000))
    assert ran.code == 2
    assert "expected a file or folder" in ran.complained
    assert len(ran.err) < 1000


def test_a_full_disk_is_told_with_the_file_that_could_not_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    ran = run("plan", example("small-bent-hips"), "--out", tmp_path / "plan")
    assert ran.code == 2
    joined = ran.complained.replace(" ", "")
    assert "plan.json:Nospaceleftondevice;expected" in joined
    assert "theroomonthedisk" in joined
    assert list((tmp_path / "plan").iterdir()) == []


def test_without_a_command_the_help_is_shown_and_nothing_is_complained_of():
    ran = run()
    assert "leeward new my-case.yaml" in ran.said
    assert ran.err == ""

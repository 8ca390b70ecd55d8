"""Requests solved side by side: the same answers, whoever solves them and whoever is lost."""

import sys

import numpy as np
import pytest

from leeward.contact.loads import LoadRequest, posture_loads
from leeward.contact.scenarios import corner_scenarios
from leeward.terms.bed import Bed, Mattress, MattressKind
from leeward.terms.body import Body, Sex
from leeward.terms.errors import InvalidInput
from leeward.terms.posture import Posture
from leeward.workers import side_by_side
from leeward.workers.side_by_side import SideBySide
from leeward.workers.worker import Worker, WorkerLost

BODY = Body(stature=1.70, mass=70.0, sex=Sex.FEMALE)
BED = Bed(mattress=Mattress(MattressKind.FOAM, 0.15, 3900.0))
SCENARIOS = corner_scenarios(BED, None, BODY)[:1]


def asking(*postures: Posture) -> LoadRequest:
    return LoadRequest(BODY, BED, None, postures, SCENARIOS)


LEVEL, RAISED, KNEES = (
    asking(Posture()),
    asking(Posture(backrest=0.1)),
    asking(Posture(knee_raise=0.1)),
)


@pytest.fixture(scope="module")
def pair():
    with SideBySide(2) as solve:
        yield solve


def same(one, other) -> bool:
    return one.postures == other.postures and np.array_equal(
        one.patch_load, other.patch_load, equal_nan=True
    )


def test_another_process_gives_the_same_loads_to_the_last_bit(pair: SideBySide):
    requests = [LEVEL, RAISED, KNEES]
    for found, request in zip(pair(requests), requests, strict=True):
        assert same(found, posture_loads(request))


def test_what_was_solved_is_not_solved_again(pair: SideBySide, monkeypatch: pytest.MonkeyPatch):
    both = asking(Posture(), Posture(backrest=0.1))
    first = pair([both])[0]
    monkeypatch.setattr(side_by_side, "posture_loads", lambda _: pytest.fail("solved again"))
    assert same(pair([asking(Posture(backrest=0.1))])[0], first.part((Posture(backrest=0.1),)))


def test_a_request_that_cannot_be_answered_says_why_as_if_solved_here(pair: SideBySide):
    impossible = asking(Posture(turn=1.5))
    with pytest.raises(InvalidInput, match="ask for postures a bed can make"):
        pair([impossible, asking(Posture(head_up=0.05)), asking(Posture(turn=1.6))])


def test_a_process_that_is_killed_leaves_its_request_to_this_one():
    with SideBySide(2) as solve:
        solve._workers[0]._process.kill()
        found = solve([LEVEL, RAISED])
    assert same(found[0], posture_loads(LEVEL))
    assert same(found[1], posture_loads(RAISED))


def test_an_answer_that_is_none_is_no_answer(monkeypatch: pytest.MonkeyPatch):
    worker = Worker()
    try:
        monkeypatch.setattr("leeward.workers.worker.pickle.load", lambda _: "nonsense")
        with pytest.raises(WorkerLost):
            worker.solve(LEVEL)
    finally:
        worker.close()


def test_no_process_is_left_behind():
    with SideBySide(3) as solve:
        processes = [worker._process for worker in solve._workers]
        assert [process.poll() for process in processes] == [None, None]
    assert all(process.poll() is not None for process in processes)


def test_one_alone_starts_no_other():
    with SideBySide(1) as solve:
        assert solve._workers == []
        assert same(solve([LEVEL])[0], posture_loads(LEVEL))


def test_a_package_in_the_folder_it_is_started_from_is_not_taken_for_ours():
    with SideBySide(2) as solve:
        assert solve._workers[0]._process.args[:2] == [sys.executable, "-P"]

"""The verbs of the whole job, called as a program would call them."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from leeward import __version__, flow
from leeward.exchange.case_file import read_case
from leeward.programme.decision import Outcome
from leeward.records.canonical import canonical_json, digest, from_plain, plain_from_json, to_plain
from leeward.terms.bed import Mattress, MattressKind
from leeward.terms.posture import Posture
from leeward.terms.verdict import Verdict
from tests.unit.cli.front_door import NOW, example
from tests.unit.delivered.logs import epoch_map, log
from tests.unit.review.plans import whole_day

HALF_KNOWN = read_case(example("half-known")).case
STOPPED = read_case(example("small-bent-hips")).case


def test_a_stop_is_decided_without_any_computation(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("leeward.contact.loads.posture_loads", lambda _: pytest.fail("computed"))
    decision = flow.plan(STOPPED, now=NOW)
    assert decision.outcome is Outcome.STOPPED
    assert decision.candidates == 0


def test_a_decision_says_when_from_what_and_by_which_leeward():
    decision = flow.plan(STOPPED, now=NOW)
    assert decision.made_at == NOW
    assert decision.case_digest == digest(STOPPED)
    assert decision.software == __version__
    assert decision.missing == STOPPED.missing


def test_a_decision_survives_its_plain_form():
    decision = flow.plan(STOPPED, now=NOW)
    again = from_plain(type(decision), plain_from_json(canonical_json(to_plain(decision))))
    assert again == decision


def test_without_a_regime_the_question_is_the_answer():
    asked = flow.plan(replace(HALF_KNOWN, regimes=(), policy=None), now=NOW)
    assert asked.outcome is Outcome.CANNOT_TELL
    assert asked.choices == ()
    assert any(reason.sentence.count("?") for reason in asked.reasons)


def test_what_cannot_be_computed_cannot_be_told_and_says_why():
    air = Mattress(MattressKind.ALTERNATING_AIR)
    regimes = tuple(replace(regime, mattress=air) for regime in HALF_KNOWN.regimes)
    case = replace(HALF_KNOWN, bed=replace(HALF_KNOWN.bed, mattress=air), regimes=regimes)
    decision = flow.plan(case, now=NOW)
    assert decision.outcome is Outcome.CANNOT_TELL
    assert "cannot-compute" in {reason.code for reason in decision.reasons}


def test_a_decision_replays_at_the_time_it_was_made():
    then = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
    decision = flow.plan(STOPPED, now=then)
    assert flow.replay(STOPPED, decision) == decision


def test_loads_are_asked_for_in_the_central_draw_and_sixteen_corners():
    request, table = flow.predict(HALF_KNOWN, Posture())
    assert request.postures == (Posture(),)
    assert table.patch_load.shape[:2] == (17, 1)


def test_a_log_is_compared_without_a_regime_by_its_surface_alone():
    case = replace(HALF_KNOWN, regimes=(), policy=None)
    delivered = flow.read_delivered(log(24.0), epoch_map(), now=NOW)
    review = flow.compare(case, whole_day(), delivered, now=NOW)
    assert review.comparison.judgement.verdict is Verdict.AS_PLANNED
    assert review.sites == ()

"""A figure nobody measured is not a small one."""

from dataclasses import replace

from leeward import flow
from leeward.exchange.case_file import read_case
from tests.unit.cli.front_door import NOW, example


def test_a_stopped_plan_has_no_noise_of_loads():
    decision = flow.plan(read_case(example("small-bent-hips")).case, now=NOW)
    assert decision.load_noise is None
    assert decision.interpolation_error is None


def test_a_plan_that_cannot_be_told_has_none_either():
    case = read_case(example("half-known")).case
    decision = flow.plan(replace(case, regimes=(), policy=None), now=NOW)
    assert decision.load_noise is None
    assert decision.interpolation_error is None

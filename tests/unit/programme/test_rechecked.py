"""A choice that the recheck speaks against is withheld, and that is said first."""

from dataclasses import dataclass, replace

from leeward.programme.decision import (
    Assessment,
    Choice,
    ChoiceName,
    Disturbance,
    Outcome,
)
from leeward.programme.planning import Findings
from leeward.programme.rechecked import rechecked
from leeward.terms.regime import RegimeStanding
from leeward.terms.site import Site
from leeward.terms.verdict import Reason
from leeward.tissue.demand import RegimeDemand
from leeward.tissue.load_ratios import LoadRatios
from leeward.tissue.standing import ComparedRegime, FailedRegime, StandingDecision
from tests.unit.programme.recheck_sound import (
    CASE,
    COMPARED,
    HOUR,
    LEVEL,
    NOW,
    PROGRAMME,
    RATIOS,
    REGIME,
    SOUND,
    Stay,
)

ASSESSMENT = Assessment(True, 1.0, (), Site.SACRUM, Disturbance(8, 2, 0.5, 4.0, 10.0), ())
SOUND_CHOICE = Choice(ChoiceName.BALANCED, PROGRAMME, (), ASSESSMENT, ())
STOPPED_ON_THE_BACK = replace(
    SOUND_CHOICE, name=ChoiceName.GENTLEST, programme=SOUND.running(Stay(LEVEL, 8 * HOUR)).programme
)
WHY = Reason("offered", "Programmes qualify.")
STANDING = StandingDecision(
    ComparedRegime(REGIME, RegimeStanding.CLEAR, frozenset(Site), frozenset()), (), (), ()
)


LAIN = RegimeDemand(REGIME, COMPARED.ratios)


@dataclass(frozen=True)
class Asked:
    """The load ratios a search found its choices on."""

    ratios: LoadRatios = RATIOS
    compared: RegimeDemand = LAIN
    failed: tuple[RegimeDemand, ...] = ()


def findings(*choices: Choice, outcome: Outcome = Outcome.OFFERED) -> Findings:
    return Findings(
        outcome=outcome,
        choices=choices,
        reasons=(WHY,),
        cautions=(),
        cannot_accept=(),
        ruled_out=(),
        compared_with="",
        candidates=2,
    )


def after(found: Findings) -> Findings:
    return rechecked(CASE, found, Asked(), STANDING, NOW)


def test_a_sound_choice_is_kept_with_an_empty_recheck():
    assert after(findings(SOUND_CHOICE)) == findings(SOUND_CHOICE)


def test_a_choice_that_is_spoken_against_is_gone_and_said_first():
    found = after(findings(STOPPED_ON_THE_BACK, SOUND_CHOICE))
    assert [choice.name for choice in found.choices] == [ChoiceName.BALANCED]
    assert found.outcome is Outcome.OFFERED
    assert found.reasons[0].code == "withheld"
    assert found.reasons[0].sentence.startswith("The gentlest programme is withheld: ")
    assert found.reasons[-1] == WHY


def test_when_all_are_withheld_nothing_can_be_told():
    found = after(findings(STOPPED_ON_THE_BACK))
    assert found.outcome is Outcome.CANNOT_TELL
    assert found.choices == ()


def test_a_closest_choice_is_shown_with_what_speaks_against_it():
    closest = replace(STOPPED_ON_THE_BACK, name=ChoiceName.CLOSEST)
    found = after(findings(closest, outcome=Outcome.NONE_QUALIFIES))
    assert found.outcome is Outcome.NONE_QUALIFIES
    assert found.choices[0].recheck
    assert found.reasons == (WHY,)


def test_a_failed_regime_speaks_against_what_repeats_it():
    failed = replace(REGIME, standing=RegimeStanding.FAILED, failed_sites=(Site.SACRUM,))
    standing = replace(STANDING, failed=(FailedRegime(failed, frozenset({Site.SACRUM})),))
    case = replace(CASE, regimes=(REGIME, failed))
    light = replace(COMPARED.ratios, ratio=0.3 * COMPARED.ratios.ratio)
    outcomes = [
        rechecked(
            case, findings(SOUND_CHOICE), Asked(failed=(RegimeDemand(failed, r),)), standing, NOW
        ).outcome
        for r in (heavier(), light)
    ]
    assert outcomes == [Outcome.OFFERED, Outcome.CANNOT_TELL]


def heavier() -> LoadRatios:
    """A failed regime so heavy that the programme stays far below it."""
    return replace(COMPARED.ratios, ratio=3.0 * COMPARED.ratios.ratio)

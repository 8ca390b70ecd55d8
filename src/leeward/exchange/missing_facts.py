"""Facts nobody gave, and what leeward does without each: never anything that reassures."""

from collections.abc import Callable, Collection
from dataclasses import dataclass

from leeward.contact.scenarios import is_hardness_known, is_wear_known
from leeward.terms.bed import MattressKind, RailKind
from leeward.terms.body import RestAngles
from leeward.terms.case import Case, MissingFact
from leeward.terms.posture_limits import NOTHING_MEASURED
from leeward.terms.site import Site


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact that may be missing.

    Parameters
    ----------
    field : str
        Path of the field in the case file.
    consequence : str
        What its absence does to the answer.
    is_missing : callable
        Whether a case lacks it.
    """

    field: str
    consequence: str
    is_missing: Callable[[Case], bool]


_HEELS_AND_HEAD = (Site.LEFT_HEEL, Site.RIGHT_HEEL, Site.OCCIPUT)

_PERSON = (
    Fact(
        "person.age_years",
        "nobody can tell whether the body tables, which are for adults, fit this person",
        lambda case: case.person.body.age is None,
    ),
    Fact(
        "person.has_dark_skin",
        "looks count only where warmth and firmness were felt as well",
        lambda case: case.person.has_dark_skin is None,
    ),
    Fact(
        "person.knows_right_to_refuse",
        "ask whether it was explained before anything is accepted",
        lambda case: case.person.knows_right_to_refuse is None,
    ),
    Fact(
        "person.goals",
        "the choice between programmes cannot be weighed against what matters to the person",
        lambda case: not case.person.goals,
    ),
    Fact(
        "person.consent",
        "programmes are shown, but none can be accepted",
        lambda case: case.person.consent is None,
    ),
    Fact(
        "person.aim",
        "programmes are shown, but none can be accepted",
        lambda case: case.person.aim is None,
    ),
    Fact(
        "person.hip_breadth_cm",
        "the breadth is an estimate from stature and mass",
        lambda case: case.person.body.hip_breadth is None and case.person.body.hip_girth is None,
    ),
)

_BED = (
    Fact(
        "bed.mattress.kind",
        "every kind of foam is possible, the bands of all loads are wide, and no regime counts as "
        "seen clear on it",
        lambda case: case.bed.mattress.kind is MattressKind.UNDESCRIBED,
    ),
    Fact(
        "bed.mattress.thickness_mm",
        "taken as 150 mm; a thinner one loads bony parts more than is computed",
        lambda case: not case.bed.mattress.foams and case.bed.mattress.thickness is None,
    ),
    Fact(
        "bed.mattress.cv40_kpa",
        "soft and hard foam are both possible, and the bands are wider",
        lambda case: (
            case.bed.mattress.kind is MattressKind.FOAM and not is_hardness_known(case.bed.mattress)
        ),
    ),
    Fact(
        "bed.mattress.years_in_use",
        "the foam may be new or worn by ten years: a worn one is softer, bony parts sink nearer to "
        "what lies under it, and the bands are wider",
        lambda case: (
            case.bed.mattress.kind is MattressKind.FOAM and not is_wear_known(case.bed.mattress)
        ),
    ),
    Fact(
        "bed.mattress.curve",
        "no loads can be computed on a mattress that is not foam",
        lambda case: (
            case.bed.mattress.kind not in (MattressKind.FOAM, MattressKind.UNDESCRIBED)
            and not case.bed.mattress.curve
        ),
    ),
    Fact(
        "bed.layers",
        "pads, slings and the like may lie in between, and the bands are wider",
        lambda case: case.bed.layers is None,
    ),
    Fact(
        "bed.friction_coefficient",
        "slippery and rough sheets are both possible: turns must be stable on either",
        lambda case: case.bed.friction is None,
    ),
    Fact(
        "bed.rails",
        "height and gaps of the rails at full turn are not looked at",
        lambda case: case.bed.rails is RailKind.UNDESCRIBED,
    ),
    Fact(
        "bed.rails_travel_with_surface",
        "nobody can tell how much rail is left above the raised side",
        lambda case: (
            case.bed.rails in (RailKind.FULL, RailKind.SPLIT)
            and case.bed.rails_travel_with_surface is None
        ),
    ),
    Fact(
        "bed.safe_working_load_kg",
        "nobody can tell whether the bed may carry person, mattress and unit together",
        lambda case: case.bed.safe_working_load is None,
    ),
    Fact(
        "equipment",
        "without a unit only what people do by hand can be told about",
        lambda case: case.equipment is None,
    ),
    Fact(
        "placement",
        "the unit's line may lie 50 mm to either side of the body's middle: turns must hold both",
        lambda case: case.equipment is not None and case.placement.line_offset is None,
    ),
)

_CARE = (
    Fact(
        "day.rounds",
        "hands-on tasks are named without a time that fits the carers' rounds",
        lambda case: not case.day.rounds,
    ),
    Fact(
        "regimes",
        "there is nothing to compare with: say how the person has lain and how their skin took "
        "it, or name the policy that somebody decides to assume",
        lambda case: not case.regimes,
    ),
    Fact(
        "policy",
        "no local interval limits the stays beside what the skin was seen to take",
        lambda case: case.policy is None,
    ),
    Fact(
        "skin_checks",
        "nobody can tell how the skin is now: look before the first turn",
        lambda case: not case.skin_checks,
    ),
    Fact(
        "offloading",
        "no programme can be accepted while heels and back of the head have no owner and method",
        lambda case: not {*_HEELS_AND_HEAD} <= {entry.site for entry in case.offloading},
    ),
    Fact(
        "posture_limits",
        "nobody tried at the bed how far surface and backrest may move",
        lambda case: case.posture_limits == NOTHING_MEASURED and case.fit_sheet is None,
    ),
)


# Three fields look the same in a case whether someone wrote them or nobody did: whether they
# were written is asked of the file.
_AS_IF_WRITTEN = (
    Fact(
        "person.rest_angles",
        "loads are those of a body lying straight; fixed bends move them elsewhere",
        lambda case: case.person.body.rest_angles == RestAngles(),
    ),
    Fact(
        "day.usual_backrest_deg",
        "taken as lying flat outside the prescribed times; a raised back loads the seat more",
        lambda case: case.day.usual_backrest == 0.0,
    ),
    Fact(
        "day.time_zone",
        "times are taken as UTC; on another clock every date and log would be read shifted",
        lambda case: case.day.time_zone == "UTC",
    ),
)

#: Every fact asked for beyond those the form needs.
FACTS = (*_PERSON, *_AS_IF_WRITTEN, *_BED, *_CARE)


def missing_facts(case: Case, *, written: Collection[str]) -> tuple[MissingFact, ...]:
    """List the facts nobody gave.

    Parameters
    ----------
    case : Case
        The case.
    written : collection of str
        Fields that stand in the file, though the case looks as if they did not.

    Returns
    -------
    tuple of MissingFact
        Each with what its absence does.
    """
    return tuple(
        MissingFact(fact.field, fact.consequence)
        for fact in FACTS
        if fact.is_missing(case) and fact.field not in written
    )

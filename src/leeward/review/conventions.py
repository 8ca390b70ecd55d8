"""Numbers by which delivered is held against planned."""

from leeward.terms.sourced import Sourced
from leeward.terms.units import radians_from_deg

_CONVENTION = "convention of this project"
_NOBODY = "not applicable"

#: Below this share of the time judged nothing but "cannot tell" is said.
LEAST_JUDGED = Sourced(0.80, "-", _CONVENTION, _NOBODY)

#: A stay reached its angle when it lies no further from it than this.
ANGLE_TOLERANCE = Sourced(radians_from_deg(5.0), "rad", _CONVENTION, _NOBODY)

#: A stay kept its time when it is off by no more than the larger of these two.
LEAST_TIME_TOLERANCE = Sourced(300.0, "s", _CONVENTION, _NOBODY)
TIME_TOLERANCE_SHARE = Sourced(0.15, "-", _CONVENTION, _NOBODY)

#: Share of the planned turned time from which on the other side is the rule, not a slip.
OTHER_SIDE_SHARE = Sourced(0.60, "-", _CONVENTION, _NOBODY)

#: Time between looks at skin after which the next is overdue.
LONGEST_WITHOUT_LOOK = Sourced(86400.0, "s", "common practice, no source", "not stated")

#: Load ratio above which a site counts as loaded, as for the guards of a programme.
LOADED_RATIO = Sourced(0.9, "-", _CONVENTION, _NOBODY)

#: A backrest this far above the planned one counts as raised.
RAISED_BACKREST = Sourced(radians_from_deg(10.0), "rad", _CONVENTION, _NOBODY)

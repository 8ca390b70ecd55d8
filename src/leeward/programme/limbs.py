"""Which sites a person has."""

from leeward.terms.body import Body, Limb
from leeward.terms.site import Site

_BELOW_KNEE = ("heel", "toes", "calf", "outer ankle", "inner ankle")
_FROM_KNEE_DOWN = (*_BELOW_KNEE, "outer knee", "inner knee")
_GONE: dict[Limb, tuple[str, tuple[str, ...]]] = {
    Limb.LEFT_LEG_ABOVE_KNEE: ("left", _FROM_KNEE_DOWN),
    Limb.RIGHT_LEG_ABOVE_KNEE: ("right", _FROM_KNEE_DOWN),
    Limb.LEFT_LEG_BELOW_KNEE: ("left", _BELOW_KNEE),
    Limb.RIGHT_LEG_BELOW_KNEE: ("right", _BELOW_KNEE),
    Limb.LEFT_ARM: ("left", ("elbow",)),
    Limb.RIGHT_ARM: ("right", ("elbow",)),
}


def absent_sites(body: Body) -> frozenset[Site]:
    """Name the sites that went with a missing limb.

    Parameters
    ----------
    body : Body
        The body.

    Returns
    -------
    frozenset of Site
        Sites nobody needs to look at or offload. A leg missing below the knee keeps its
        knee; a stump's own skin is not a listed site and must be looked at all the same.
    """
    return frozenset(
        Site(f"{side} {part}")
        for limb in body.missing
        for side, parts in [_GONE[limb]]
        for part in parts
    )

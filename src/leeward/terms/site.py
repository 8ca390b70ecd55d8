"""Skin sites: the areas over bony parts that are looked at as one."""

from enum import StrEnum


class Side(StrEnum):
    """A side of the person, always the person's own."""

    LEFT = "left"
    RIGHT = "right"

    @property
    def other(self) -> "Side":
        """The opposite side."""
        return Side.RIGHT if self is Side.LEFT else Side.LEFT


class Site(StrEnum):
    """A skin area over a bony part; left and right are the person's own."""

    OCCIPUT = "occiput"
    LEFT_EAR = "left ear"
    RIGHT_EAR = "right ear"
    LEFT_SHOULDER_TIP = "left shoulder tip"
    RIGHT_SHOULDER_TIP = "right shoulder tip"
    LEFT_SCAPULA = "left scapula"
    RIGHT_SCAPULA = "right scapula"
    LEFT_ELBOW = "left elbow"
    RIGHT_ELBOW = "right elbow"
    SPINE = "spine"
    SACRUM = "sacrum"
    COCCYX = "coccyx"
    LEFT_BUTTOCK = "left buttock"
    RIGHT_BUTTOCK = "right buttock"
    LEFT_TROCHANTER = "left trochanter"
    RIGHT_TROCHANTER = "right trochanter"
    LEFT_OUTER_KNEE = "left outer knee"
    RIGHT_OUTER_KNEE = "right outer knee"
    LEFT_INNER_KNEE = "left inner knee"
    RIGHT_INNER_KNEE = "right inner knee"
    LEFT_CALF = "left calf"
    RIGHT_CALF = "right calf"
    LEFT_OUTER_ANKLE = "left outer ankle"
    RIGHT_OUTER_ANKLE = "right outer ankle"
    LEFT_INNER_ANKLE = "left inner ankle"
    RIGHT_INNER_ANKLE = "right inner ankle"
    LEFT_HEEL = "left heel"
    RIGHT_HEEL = "right heel"
    LEFT_TOES = "left toes"
    RIGHT_TOES = "right toes"

    @property
    def side(self) -> Side | None:
        """The side a paired site lies on; None on the mid-line."""
        first = self.value.split(" ", 1)[0]
        return Side(first) if first in ("left", "right") else None

    @property
    def mirrored(self) -> "Site":
        """The same site on the other side; a mid-line site is its own mirror."""
        side = self.side
        if side is None:
            return self
        return Site(f"{side.other.value} {self.value.split(' ', 1)[1]}")


#: Sites that turning the trunk can relieve; the guards apply to each. The list is fixed
#: and never shortened by results: a site that seems unloaded in the model stays guarded.
RESPONSIVE_SITES: tuple[Site, ...] = (
    Site.LEFT_SCAPULA,
    Site.RIGHT_SCAPULA,
    Site.LEFT_SHOULDER_TIP,
    Site.RIGHT_SHOULDER_TIP,
    Site.SPINE,
    Site.SACRUM,
    Site.COCCYX,
    Site.LEFT_BUTTOCK,
    Site.RIGHT_BUTTOCK,
    Site.LEFT_TROCHANTER,
    Site.RIGHT_TROCHANTER,
    Site.LEFT_OUTER_KNEE,
    Site.RIGHT_OUTER_KNEE,
    Site.LEFT_OUTER_ANKLE,
    Site.RIGHT_OUTER_ANKLE,
)

#: Sites no turn of the trunk relieves: they need a person, a method and a time.
MANUALLY_OFFLOADED_SITES: tuple[Site, ...] = (
    Site.OCCIPUT,
    Site.LEFT_EAR,
    Site.RIGHT_EAR,
    Site.LEFT_ELBOW,
    Site.RIGHT_ELBOW,
    Site.LEFT_HEEL,
    Site.RIGHT_HEEL,
    Site.LEFT_TOES,
    Site.RIGHT_TOES,
)

#: Sites whose mean patch load at level is the common reference p0.
REFERENCE_SITES: tuple[Site, ...] = (
    Site.SACRUM,
    Site.LEFT_BUTTOCK,
    Site.RIGHT_BUTTOCK,
    Site.LEFT_SCAPULA,
    Site.RIGHT_SCAPULA,
)

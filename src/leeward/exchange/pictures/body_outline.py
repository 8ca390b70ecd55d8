"""A plain figure seen from behind, and where the skin sites lie on it."""

from leeward.terms.site import Site

#: Right half of the outline from crown to crotch: across from the mid-line and down from the
#: crown, in shares of stature. Drawn by this project; a figure, not a measurement.
HALF_OUTLINE: tuple[tuple[float, float], ...] = (
    (0.000, 0.000), (0.038, 0.012), (0.056, 0.050), (0.050, 0.095), (0.034, 0.130),
    (0.036, 0.155), (0.085, 0.172), (0.128, 0.192), (0.148, 0.240), (0.160, 0.320),
    (0.178, 0.400), (0.192, 0.470), (0.203, 0.520), (0.196, 0.552), (0.182, 0.545),
    (0.172, 0.490), (0.152, 0.410), (0.132, 0.330), (0.112, 0.255), (0.106, 0.300),
    (0.092, 0.370), (0.098, 0.430), (0.113, 0.500), (0.110, 0.580), (0.094, 0.680),
    (0.082, 0.735), (0.086, 0.800), (0.070, 0.880), (0.056, 0.940), (0.064, 0.985),
    (0.036, 0.992), (0.032, 0.950), (0.026, 0.880), (0.022, 0.800), (0.028, 0.735),
    (0.018, 0.640), (0.006, 0.550), (0.000, 0.535),
)  # fmt: skip

_PAIRED = {
    "ear": (0.056, 0.072),
    "shoulder tip": (0.126, 0.197),
    "scapula": (0.062, 0.240),
    "elbow": (0.168, 0.385),
    "buttock": (0.052, 0.497),
    "trochanter": (0.110, 0.525),
    "outer knee": (0.082, 0.728),
    "inner knee": (0.029, 0.742),
    "calf": (0.055, 0.810),
    "outer ankle": (0.057, 0.935),
    "inner ankle": (0.033, 0.940),
    "heel": (0.046, 0.966),
    "toes": (0.050, 0.992),
}
_MIDDLE = {
    Site.OCCIPUT: (0.0, 0.055),
    Site.SPINE: (0.0, 0.320),
    Site.SACRUM: (0.0, 0.445),
    Site.COCCYX: (0.0, 0.492),
}


def place_of(site: Site) -> tuple[float, float]:
    """Where a site lies on the figure; seen from behind, the person's left is on the left."""
    if site.side is None:
        return _MIDDLE[site]
    across, down = _PAIRED[site.value.split(" ", 1)[1]]
    return (-across if site.side.value == "left" else across), down

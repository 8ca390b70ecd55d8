"""What a measured pressure map changed in the model of one person on one mattress."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class MapCorrection:
    """A correction by a measured map, as it was signed.

    Parameters
    ----------
    by : str
        Name and role of who answers for it.
    made_on : date
        Day on which it was made.
    map_name : str
        File of the map.
    explained : float
        Part of the squared differences between map and prediction it explains. [-]
    mattress_hardness, pillow_hardness : float
        Over what they were likeliest to be before. [-]
    buttock_depth_change, chest_depth_change : float
        More or less than before. [m]
    """

    by: str
    made_on: date
    map_name: str
    explained: float
    mattress_hardness: float = 1.0
    pillow_hardness: float = 1.0
    buttock_depth_change: float = 0.0
    chest_depth_change: float = 0.0

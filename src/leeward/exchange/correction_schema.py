"""What a measured pressure map changed in a model, as written in a file."""

from typing import Annotated

from pydantic import AfterValidator, Field

from leeward.exchange.field_types import Day, Group, Line, Prose, with_letters
from leeward.terms.correction import MapCorrection
from leeward.terms.units import metres_from_mm

#: Version of the file's form that this leeward writes and reads.
CORRECTION_VERSION = 1
_LARGEST_CHANGE_MM = 60.0

Times = Annotated[float, Field(ge=0.2, le=5.0)]
More = Annotated[float, Field(ge=-_LARGEST_CHANGE_MM, le=_LARGEST_CHANGE_MM)]


class CorrectionFields(Group):
    """What a measured pressure map changed in the model of one person on one mattress."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    signed_by: Annotated[
        Line,
        AfterValidator(with_letters),
        Field(description="Name and role of who answers for it."),
    ]
    made_on: Annotated[Day, Field(description="Date, year-month-day.")]
    note: Annotated[Prose, Field(description="Anything a reader should know.")] = ""
    map_file: Annotated[Line, Field(description="File of the map.")]
    map_digest: Annotated[Line, Field(description="SHA-256 of that file.")]
    made_for: Annotated[
        Line, Field(description="Digest of body, mattress and layers: for others it is refused.")
    ]
    explained: Annotated[
        float, Field(ge=0.0, le=1.0, description="Part of the squared differences explained.")
    ]
    mattress_hardness_times: Annotated[Times, Field(description="Mattress hardness, times.")]
    pillow_hardness_times: Annotated[Times, Field(description="Pillow hardness, times.")]
    buttock_depth_more_mm: Annotated[More, Field(description="Buttock depth, more or less, mm.")]
    chest_depth_more_mm: Annotated[More, Field(description="Chest depth, more or less, mm.")]

    def record(self) -> MapCorrection:
        """The record the other rooms use."""
        return MapCorrection(
            by=self.signed_by,
            made_on=self.made_on,
            map_name=self.map_file,
            explained=self.explained,
            mattress_hardness=self.mattress_hardness_times,
            pillow_hardness=self.pillow_hardness_times,
            buttock_depth_change=metres_from_mm(self.buttock_depth_more_mm),
            chest_depth_change=metres_from_mm(self.chest_depth_more_mm),
        )

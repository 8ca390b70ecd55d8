"""Readings of the test before leaving, as written in a file."""

from pathlib import Path
from typing import Annotated, Self

from pydantic import Field, model_validator

from leeward.exchange.field_types import Day, Group, Line, Refusal, TurnedTo, TurnedToWord, Words
from leeward.exchange.form_file import read_form
from leeward.fitting.proof_readings import AngleReading, ProofReadings
from leeward.terms.skin import HandPassage
from leeward.terms.units import radians_from_deg, seconds_from_min

#: Version of the form that this leeward reads.
PROOF_VERSION = 1

Sided = Annotated[float, Field(ge=-20, le=90)]
Seconds = Annotated[float | None, Field(ge=0, le=7200)]


class LaterFields(Group):
    """The angle read once more while the surface was to keep it."""

    after_min: Annotated[float, Field(gt=0, le=1440, description="Minutes after the first.")]
    angle_deg: Annotated[Sided, Field(description="The angle then, towards the same side.")]


class AngleFields(Group):
    """The surface set to one turn, and what was read; angles count towards the side named."""

    turned_to: Annotated[TurnedToWord, Field(description="Side the person is turned to.")]
    is_loaded: Annotated[bool, Field(description="Whether the person lies on it.")]
    set_deg: Annotated[float, Field(ge=0, le=60, description="Turn that was set.")] = 0.0
    angle_deg: Annotated[
        Sided | None,
        Field(
            description="What the instrument shows; negative if it leans the other way. Of level: "
            "towards the person's left positive."
        ),
    ] = None
    shown_deg: Annotated[Sided | None, Field(description="What the unit itself shows.")] = None
    seconds_to_angle: Annotated[Seconds, Field(description="How long the movement took.")] = None
    later: Annotated[
        tuple[LaterFields, ...], Field(max_length=50, description="The same angle read again.")
    ] = ()
    hand_under_sacrum: Annotated[
        Annotated[HandPassage, Words()] | None,
        Field(description="How a hand passes under the sacrum at the full turn."),
    ] = None

    @model_validator(mode="after")
    def _side_and_turn_agree(self) -> Self:
        if (self.turned_to is TurnedTo.LEVEL) != (self.set_deg == 0.0):
            raise Refusal(
                f"turned to {self.turned_to.value} by {self.set_deg:g}°",
                expected="a side with a turn, or level without one",
                remedy="correct turned_to or set_deg",
            )
        return self

    def record(self) -> AngleReading:
        """The record the other rooms use."""
        sign = self.turned_to.sign or 1.0
        return AngleReading(
            is_loaded=self.is_loaded,
            wanted=sign * radians_from_deg(self.set_deg),
            found=_signed(self.angle_deg, sign),
            shown=_signed(self.shown_deg, sign),
            time_to_angle=self.seconds_to_angle,
            later=tuple(
                (seconds_from_min(one.after_min), sign * radians_from_deg(one.angle_deg))
                for one in self.later
            ),
            hand=self.hand_under_sacrum,
        )


class ProofFields(Group):
    """Readings of one test; leave out what nobody read, and it is asked for."""

    schema_version: Annotated[int, Field(description="Version of this form.")]
    done_by: Annotated[Line, Field(description="Who did the test.")]
    second_person: Annotated[Line | None, Field(description="Who else was there.")] = None
    done_on: Annotated[Day, Field(description="Day of the test.")]
    unit_serial: Annotated[Line | None, Field(description="Serial number of the unit.")] = None
    software_version: Annotated[Line | None, Field(description="Software of the unit.")] = None
    instrument: Annotated[Line | None, Field(description="What angles were read with.")] = None
    instrument_error_deg: Annotated[
        float | None,
        Field(gt=0, le=10, description="How far it may be off, either way, in 19 of 20 readings."),
    ] = None
    angles: Annotated[
        tuple[AngleFields, ...], Field(max_length=60, description="Angles, in the order read.")
    ] = ()
    paused_at_backrest_deg: Annotated[
        float | None, Field(ge=0, le=90, description="Backrest at which the unit paused.")
    ] = None
    surface_level_after_s: Annotated[
        Seconds, Field(description="From the release until the surface was level.")
    ] = None
    mattress_firm_after_s: Annotated[
        Seconds, Field(description="Until the mattress was firm enough for compressions.")
    ] = None
    longest_release_s: Annotated[
        Seconds, Field(description="What instructions or local policy allow for both.")
    ] = None
    released_by: Annotated[Line | None, Field(description="Who of those on at night did it.")] = (
        None
    )
    alarms_with_mains_off: Annotated[bool | None, Field(description="Whether it alarmed.")] = None
    alarms_with_sensor_off: Annotated[
        bool | None, Field(description="Whether it alarmed with a sensor's lead off.")
    ] = None
    photo_hashes: Annotated[
        tuple[Line, ...], Field(max_length=40, description="SHA-256 of each photo.")
    ] = ()

    def record(self) -> ProofReadings:
        """The record the other rooms use."""
        error = self.instrument_error_deg
        return ProofReadings(
            done_by=self.done_by,
            done_on=self.done_on,
            second_person=self.second_person or "",
            unit_serial=self.unit_serial or "",
            software_version=self.software_version or "",
            instrument=self.instrument or "",
            instrument_error=None if error is None else radians_from_deg(error),
            angles=tuple(reading.record() for reading in self.angles),
            pause_backrest=_signed(self.paused_at_backrest_deg, 1.0),
            surface_level_after=self.surface_level_after_s,
            mattress_firm_after=self.mattress_firm_after_s,
            longest_release=self.longest_release_s,
            released_by=self.released_by or "",
            mains_alarm=self.alarms_with_mains_off,
            sensor_alarm=self.alarms_with_sensor_off,
            photos=self.photo_hashes,
        )


def read_proof(path: Path) -> ProofReadings:
    """Read a file of readings.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    ProofReadings
        What was read.

    Raises
    ------
    FileRefused
        If anything is wrong with it.
    """
    return read_form(ProofFields, path, "a file of readings", version=PROOF_VERSION).record()


def _signed(angle_deg: float | None, sign: float) -> float | None:
    return None if angle_deg is None else sign * radians_from_deg(angle_deg)

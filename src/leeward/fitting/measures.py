"""What may have to be measured at the bed, and how it is done."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Measure:
    """Something to measure.

    Parameters
    ----------
    code : str
        Stable lower-case key.
    what : str
        The quantity.
    how : str
        How to measure it.
    field : str
        Where it is written in the fit sheet or its bed sheet.
    """

    code: str
    what: str
    how: str
    field: str


#: Everything that is asked for. Ways of measuring: common practice, no source.
MEASURES: Final = {
    entry.code: entry
    for entry in (
        Measure(
            "mattress-width",
            "the width of the mattress",
            "tape across the middle of the mattress, nobody on it",
            "mattress_width_cm",
        ),
        Measure(
            "mattress-thickness",
            "the thickness of the mattress",
            "ruler upright at its side, nobody on it",
            "bed.mattress.thickness_mm of the case",
        ),
        Measure(
            "rail-kind",
            "whether there are side rails, and of which kind",
            "look at both sides of the bed with the rails up",
            "bed_sheet: rails",
        ),
        Measure(
            "rails-tilt",
            "whether the rails tilt with the surface",
            "tilt the empty surface to both sides and look",
            "bed_sheet: rails_tilt_with_surface",
        ),
        Measure(
            "rail-ends",
            "where each part of the rail begins and ends",
            "tape along the flat platform from its foot end",
            "bed_sheet: rail_parts, foot_end_cm and head_end_cm",
        ),
        Measure(
            "rail-top",
            "the height of the rail's upper edge above the platform",
            "ruler upright on the platform, mattress lifted aside, rail up and locked",
            "bed_sheet: rail_parts, top_mm",
        ),
        Measure(
            "rail-bottom",
            "the height of the rail's lower edge above the platform",
            "ruler upright on the platform, rail up and locked",
            "bed_sheet: rail_parts, bottom_mm",
        ),
        Measure(
            "rail-opening",
            "the widest opening inside the rail",
            "tape between the bars where they are widest apart, both sides",
            "bed_sheet: rail_parts, opening_mm",
        ),
        Measure(
            "rail-gap",
            "the gap between rail and mattress",
            "bed flat and level, mattress pushed to the other side, tape from the rail inwards",
            "bed_sheet: rail_parts, gap_beside_mm",
        ),
        Measure(
            "gap-head-board",
            "the gap between rail and head board",
            "tape along the side, bed flat, rail up",
            "bed_sheet: gap_to_head_board_mm",
        ),
        Measure(
            "gap-foot-board",
            "the gap between rail and foot board",
            "tape along the side, bed flat, rail up",
            "bed_sheet: gap_to_foot_board_mm",
        ),
        Measure(
            "gap-between-parts",
            "the gap between the parts of the split rail",
            "tape along the side, bed flat, all parts up",
            "bed_sheet: gap_between_parts_mm",
        ),
        Measure(
            "safe-working-load",
            "the bed's safe working load",
            "read it on the bed's plate",
            "bed_sheet: safe_working_load_kg",
        ),
        Measure(
            "mattress-mass",
            "the mass of the mattress",
            "read it on its label, or weigh it",
            "mattress_mass_kg",
        ),
        Measure(
            "accessory-mass",
            "the mass of rails, pole, table and all else that hangs on the bed",
            "add up the figures of their instructions",
            "accessory_mass_kg",
        ),
        Measure(
            "pivot",
            "about which line the whole surface turns",
            "tilt it empty and see whether the other edge sinks or stays",
            "the unit's geometry: whole_turns_about",
        ),
        Measure(
            "unit-place",
            "where the unit lies on the platform",
            "tape from the platform's foot end to the unit's foot end, bed flat",
            "unit_foot_end_cm",
        ),
        Measure(
            "line-offset",
            "where the unit's mid-line lies under the body",
            "mark the unit's middle on the sheet, tape to the body's mid-line at the navel",
            "placement of the case",
        ),
        Measure(
            "back-travel",
            "how far the back section slides towards the head as it rises",
            "mark it on the frame, raise it fully, tape along the frame to the mark",
            "bed_sheet: back_travel_mm",
        ),
        Measure(
            "coupling",
            "how far the knees rise with the backrest",
            "raise the backrest alone and read the thigh section's angle",
            "bed_sheet: knee_deg_per_backrest_deg",
        ),
        Measure(
            "calf-motion",
            "what the calf section does when the knees rise",
            "raise the knees and look whether the foot end stays down",
            "bed_sheet: calf",
        ),
        Measure(
            "lift-range",
            "the lowest and the highest place of the platform",
            "tape from the floor to the platform at both ends of its travel",
            "bed_sheet: lowest_cm and highest_cm",
        ),
        Measure(
            "run-points",
            "where {name} is fixed, and every clip on its way",
            "bed flat and lowest: across from the mid-line, along from the foot end, up from the "
            "platform; or follow the by-eye list over the whole movement",
            "runs, points",
        ),
        Measure(
            "run-length",
            "the free length of {name}",
            "tape along it, drawn straight, between its two ends",
            "runs, length_cm",
        ),
        Measure(
            "hip-place",
            "how far the hip joint lies from the hinge of back and seat",
            "feel for the bony point at the hip's side, tape along the mattress to the hinge",
            "hip_from_hinge_cm",
        ),
        Measure(
            "shoulder-place",
            "the distance from hip joint to shoulder tip",
            "tape along the back from the bony point of the hip to the tip of the shoulder",
            "shoulder_tip_from_hip_cm",
        ),
        Measure(
            "sensing-width",
            "the width that the unit's table of sensing elements asks for",
            "as its instructions say",
            "sensing_width_cm",
        ),
        Measure(
            "clearance",
            "the free height under the frame",
            "bed lowest, tape from the floor to the lowest bar, unit and hoses in place",
            "bed_sheet: clearance_mm",
        ),
        Measure(
            "hoist-legs",
            "the height of the hoist's legs",
            "tape from the floor to their upper side",
            "hoist_leg_height_mm",
        ),
    )
}

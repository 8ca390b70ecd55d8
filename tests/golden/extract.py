"""The part of a decision that is kept and compared: what a practitioner would act on."""

from typing import Any

from leeward.programme.decision import Choice, Decision
from leeward.terms.posture import turn_in_words
from leeward.terms.units import deg_from_radians, min_from_seconds


def extract(decision: Decision) -> dict[str, Any]:
    """Outcome, choices, cycles, limiting sites and indices, in field units."""
    return {
        "outcome": decision.outcome.value,
        "compared_with": decision.compared_with,
        "cannot_accept": [reason.code for reason in decision.cannot_accept],
        "choices": [_choice(choice) for choice in decision.choices],
    }


def _choice(choice: Choice) -> dict[str, Any]:
    limiting = choice.assessment.limiting_site
    compared = {
        result.site.value: [
            round(number, 3) for number in (result.index_low, result.index, result.index_high)
        ]
        for result in choice.assessment.sites
        if result.index is not None
        and result.index_low is not None
        and result.index_high is not None
    }
    return {
        "name": choice.name.value,
        "limiting_site": None if limiting is None else limiting.value,
        "share_of_draws": round(choice.assessment.share_of_draws, 3),
        "windows": {window.name: _cycle(window) for window in choice.programme.windows},
        "index_low_central_high": compared,
    }


def _cycle(window: Any) -> list[str]:
    return [
        f"{turn_in_words(stay.posture.turn)}, "
        f"backrest {deg_from_radians(stay.posture.backrest):.0f}°, "
        f"{min_from_seconds(stay.duration):.0f} min"
        for stay in window.cycle
    ]

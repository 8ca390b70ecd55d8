"""Round the bed: what a person needs within reach, and what must not be near."""

from leeward.fitting.finding import Finding, Outcome
from leeward.terms.fit_sheet import AroundTheBed, FitSheet

#: What is done where something is not so. Common practice, no source.
_REMEDY = {
    AroundTheBed.CALL_BELL: "Fasten the bell where the hand is at each turn; try it at each.",
    AroundTheBed.DRINK: "Place it within reach at each turn, or say who gives it on each round.",
    AroundTheBed.PHONE: "Place it within reach at each turn.",
    AroundTheBed.GLASSES: "Place them within reach at each turn.",
    AroundTheBed.OWN_SOCKET: "Give the unit a socket of its own: no extension lead, no splitter.",
    AroundTheBed.QUIET: "Move the pump's place, or choose longer stays at night.",
    AroundTheBed.PARTNER_AND_PETS: "Agree who lies and sits where while the surface moves.",
    AroundTheBed.NO_FLAME: (
        "Ask the fire service or the local fire-safety adviser before air-filled equipment is used."
    ),
    AroundTheBed.LEVEL_FOR_CARE: "Show it to everyone who will do it.",
    AroundTheBed.POWER_LOSS: "Write down who, how often by the local policy, and whom to call.",
}


def around_findings(sheet: FitSheet) -> list[Finding]:
    """Judge what was seen round the bed.

    Parameters
    ----------
    sheet : FitSheet
        Measured at the bed.

    Returns
    -------
    list of Finding
        One for each question; what nobody answered is asked.
    """
    answers = {answer.about: answer for answer in sheet.answers}
    found = []
    for about in AroundTheBed:
        code = f"around-{about.name.lower().replace('_', '-')}"
        answer = answers.get(about)
        if answer is None:
            asked = f"Cannot tell whether {about.value}: nobody wrote it down."
            found.append(Finding(code, Outcome.CANNOT_TELL, asked, "Look, ask, and write it down."))
        elif answer.is_so:
            seen = f"Seen by {answer.by}: {about.value}."
            found.append(Finding(code, Outcome.NO_LIMIT_BROKEN, seen))
        else:
            lacking = f"Not so, by {answer.by}: {about.value}."
            found.append(Finding(code, Outcome.WITH_MEASURE, lacking, _REMEDY[about]))
    return [*found, _handling(sheet)]


def _handling(sheet: FitSheet) -> Finding:
    when = sheet.handling_assessed_on
    if when is None:
        return Finding(
            "around-handling",
            Outcome.CANNOT_TELL,
            "Cannot tell sling and number of handlers: no assessment of moving and handling.",
            "Have it assessed locally, and write down its date.",
        )
    sentence = f"Sling and number of handlers: by the local assessment of {when.isoformat()}."
    return Finding("around-handling", Outcome.NO_LIMIT_BROKEN, sentence)

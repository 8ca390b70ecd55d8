"""What to enter at the unit, in order, in plain words; and what it cannot do by itself."""

from leeward.programme.cycles import SIDES_OF_ORDER
from leeward.programme.programme import Programme, Window
from leeward.programme.quantities import minutes_in_words
from leeward.terms.clock import clock_text
from leeward.terms.equipment import AfterPowerLoss, Equipment, Order
from leeward.terms.posture import Place, turn_in_words
from leeward.terms.regime import Stay
from leeward.terms.units import deg_from_radians


def settings_in_words(programme: Programme, unit: Equipment) -> tuple[str, ...]:
    """Write the settings of a programme as a person enters them.

    Parameters
    ----------
    programme : Programme
        The programme.
    unit : Equipment
        The tilting unit.

    Returns
    -------
    tuple of str
        One line for each thing to set, window by window, then what the unit cannot do.

    Notes
    -----
    Each stay includes the movement that leads into it.
    """
    lines: list[str] = []
    for window in programme.windows:
        lines.extend(_turning(window) if runs_a_cycle(window) else _still(window))
    return (*lines, *_cannot(programme, unit))


def by_hand_in_words(programme: Programme) -> tuple[str, ...]:
    """Write what people do in a programme that they turn by hand.

    Parameters
    ----------
    programme : Programme
        A programme the unit has no part in.

    Returns
    -------
    tuple of str
        One line for each posture in order, window by window.
    """
    lines = ["The unit stays level all day: nobody sets it to turn."]
    for window in programme.windows:
        if not runs_a_cycle(window):
            lines.extend(_still(window))
            continue
        stays = ", then ".join(
            f"{turn_in_words(stay.posture.turn)}, for {minutes_in_words(stay.duration)}"
            for stay in dict.fromkeys(window.cycle)
        )
        lines.append(f"{_times(window)}: people turn by hand: {stays}; and again.")
    return tuple(lines)


def runs_a_cycle(window: Window) -> bool:
    """Whether the unit turns in a window.

    Parameters
    ----------
    window : Window
        A window of a programme.

    Returns
    -------
    bool
        False where one posture is kept.
    """
    return len(window.cycle) > 1


def order_of(cycle: tuple[Stay, ...]) -> Order | None:
    """Recognise the order of a cycle.

    Parameters
    ----------
    cycle : tuple of Stay
        Stays in order.

    Returns
    -------
    Order or None
        None when no unit runs such an order.
    """
    sides = "".join(_side(stay.posture.turn) for stay in cycle)
    return next((order for order, known in SIDES_OF_ORDER.items() if known == sides), None)


def _side(turn: float) -> str:
    if turn == 0.0:
        return "-"
    return "L" if turn > 0.0 else "R"


def _times(window: Window) -> str:
    return f"{window.name}, {clock_text(window.span.start)} to {clock_text(window.span.end)}"


def _turning(window: Window) -> list[str]:
    order = order_of(window.cycle)
    named = order.value if order is not None else "as listed"
    stays = list(dict.fromkeys(window.cycle))
    return [
        f"{_times(window)}: backrest {deg_from_radians(window.cycle[0].posture.backrest):.0f}°, "
        f"order {named}.",
        *(
            f"{_times(window)}: {turn_in_words(stay.posture.turn)}, stay "
            f"{minutes_in_words(stay.duration)}."
            for stay in stays
        ),
    ]


def _still(window: Window) -> list[str]:
    posture = window.cycle[0].posture
    by = f" (prescribed by {window.prescribed_by})" if window.prescribed_by else ""
    if posture.place is not Place.BED:
        return [f"{_times(window)}: {posture.place.value}{by}; stop the unit level."]
    return [
        f"{_times(window)}: no turning{by}; backrest {deg_from_radians(posture.backrest):.0f}°, "
        f"{turn_in_words(posture.turn)}. Start the cycle afresh afterwards."
    ]


def _cannot(programme: Programme, unit: Equipment) -> list[str]:
    ability = unit.ability
    lines = []
    still = [window for window in programme.windows if not runs_a_cycle(window)]
    edge = ability.pauses_above_backrest
    if edge is not None:
        lines.append(
            f"Above a backrest of {deg_from_radians(edge):.0f}° the unit pauses: lower it again "
            "and see that turning goes on."
        )
    if still:
        lines.append("The unit does not know about meals, feeds or the chair: someone stops it.")
    if ability.programmes_per_day == 1:
        lines.append("The unit runs one cycle: it is the same by day and by night.")
    if ability.after_power_loss is not AfterPowerLoss.RESUMES:
        lines.append(f"After a power cut: {ability.after_power_loss.value}.")
    lines.append("The unit relieves neither heels nor head nor elbows: hands do.")
    return lines

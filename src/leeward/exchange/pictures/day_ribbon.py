"""The day ribbon: 24 hours, height is turn, words say which side."""

from collections.abc import Sequence
from dataclasses import dataclass

from leeward.exchange.pictures import ribbon_lanes as lanes
from leeward.exchange.pictures.drawing import Box, Drawing, Point, wrapped
from leeward.exchange.pictures.one_day import Piece, delivered_pieces, planned_pieces
from leeward.exchange.pictures.palette import INK, NIGHT, PAPER
from leeward.exchange.pictures.plain_text import visible
from leeward.exchange.pictures.words import (
    OWN_SIDES,
    angle_text,
    duration_text,
    group_text,
    posture_text,
    sites_text,
    span_text,
    window_groups,
    window_name,
)
from leeward.programme.programme import ManualTask, Programme, Window
from leeward.terms.clock import DaySpan, clock_text
from leeward.terms.errors import InvalidInput
from leeward.terms.series import PostureSeries, Validity
from leeward.terms.units import SECONDS_PER_DAY, SECONDS_PER_HOUR

_LEAST_WIDTH = 300.0
#: Narrower than this the day is folded into lines of fewer hours.
_ONE_LINE, _TWO_LINES = 640.0, 480.0
_MARGIN = 20.0
#: Letters that begin at the very edge are cut by some viewers.
_EDGE = 3.0
_WORDS_MARGIN = 150.0
UP = "turned to the left, right side raised"
DOWN = "turned to the right, left side raised"


@dataclass(frozen=True, slots=True)
class _Ribbon:
    """What is drawn, worked out before anything is."""

    programme: Programme
    sleep: DaySpan
    rounds: tuple[float, ...]
    planned: tuple[Piece, ...]
    delivered: tuple[Piece, ...] | None
    rows: tuple[lanes.Row, ...]
    largest: float

    @property
    def is_folded(self) -> bool:
        return len(self.rows) > 1

    def clock(self, time: float) -> float:
        return self.rows[0].begins + time


def day_ribbon(
    programme: Programme,
    *,
    sleep: DaySpan,
    rounds: Sequence[float],
    delivered: PostureSeries | None = None,
    width: float = 1200.0,
    with_key: bool = True,
) -> str:
    """Draw a programme's day, with what was delivered under it.

    Parameters
    ----------
    programme : Programme
        The plan.
    sleep : DaySpan
        When the person sleeps; the ribbon begins in the hour it ends, so the night is whole.
    rounds : sequence of float
        Carers' rounds, seconds after midnight. [s]
    delivered : PostureSeries, optional
        What the surface did, 24 h at most; what it does not cover is drawn as unknown.
    width : float
        Width in screen pixels; narrow ribbons are folded into lines of fewer hours.
    with_key : bool
        Whether the plan is also written out under the picture.

    Returns
    -------
    str
        SVG text.
    """
    if not width >= _LEAST_WIDTH:
        raise InvalidInput(
            f"a width of {width:g}",
            where="day ribbon",
            expected=f"at least {_LEAST_WIDTH:g} pixels",
            remedy="show it wider",
        )
    ribbon = _ribbon(programme, sleep, tuple(rounds), delivered, width)
    drawing = Drawing("day-ribbon", width, title="Day ribbon", description=_in_words(ribbon))
    y = _heading(drawing, ribbon)
    for row in ribbon.rows:
        y = _draw_row(drawing, ribbon, row, y) + 12.0
    if with_key:
        y = _key(drawing, ribbon, y)
    return drawing.finished(y)


def _ribbon(
    programme: Programme,
    sleep: DaySpan,
    rounds: tuple[float, ...],
    delivered: PostureSeries | None,
    width: float,
) -> _Ribbon:
    begins = sleep.end // SECONDS_PER_HOUR * SECONDS_PER_HOUR
    planned = planned_pieces(programme, begins)
    given = None if delivered is None else delivered_pieces(delivered, begins)
    count = 1 if width >= _ONE_LINE else 2 if width >= _TWO_LINES else 3
    left = _WORDS_MARGIN if count == 1 else _MARGIN
    length = SECONDS_PER_DAY / count
    rows = tuple(
        lanes.Row(number * length, (number + 1) * length, left, width - _MARGIN, begins)
        for number in range(count)
    )
    largest = lanes.largest_turn((*planned, *(given or ())))
    return _Ribbon(programme, sleep, rounds, planned, given, rows, largest)


def _heading(drawing: Drawing, ribbon: _Ribbon) -> float:
    if not ribbon.is_folded:
        return 4.0
    y = 4.0
    words = f"Above the line: {UP}. Below: {DOWN}. Full height: {angle_text(ribbon.largest)}."
    for line in wrapped(f"{words} {OWN_SIDES}", drawing.width - 2.0 * _MARGIN, lanes.SMALL):
        y += 15.0
        drawing.text(Point(_MARGIN, y), line, size=lanes.SMALL)
    return y + 8.0


def _draw_row(drawing: Drawing, ribbon: _Ribbon, row: lanes.Row, top: float) -> float:
    names = lanes.placed_names(row, [_named(window) for window in ribbon.programme.windows])
    levels = 1 + max((name.level for name in names), default=0)
    plot = top + levels * lanes.NAME_ROW + 10.0
    caption = 15.0 if ribbon.is_folded and ribbon.delivered is not None else 0.0
    middle = plot + caption + lanes.HALF
    below = middle + 2.0 * lanes.HALF + 12.0 + caption
    last = middle if ribbon.delivered is None else below
    lanes.draw_sleep_shade(drawing, row, ribbon.sleep, plot, last + lanes.HALF)
    lanes.draw_names(drawing, names, plot)
    lanes.draw_turns(drawing, row, middle, ribbon.planned, ribbon.largest)
    lanes.label_turns(drawing, row, middle, ribbon.planned, ribbon.largest)
    _name_turns(drawing, ribbon, row, middle, "planned")
    if ribbon.delivered is not None:
        lanes.draw_turns(drawing, row, below, ribbon.delivered, ribbon.largest)
        lanes.outline_plan(drawing, row, below, ribbon.planned, ribbon.largest)
        lanes.label_turns(drawing, row, below, ribbon.delivered, ribbon.largest)
        _name_turns(drawing, ribbon, row, below, "delivered")
    lanes.draw_hours(drawing, row, last + lanes.HALF)
    return _draw_work(drawing, ribbon, row, last + lanes.HALF + 22.0)


def _named(window: Window) -> lanes.Named:
    name, times = window_name(window), span_text(window.span)
    backrest = window.cycle[0].posture.backrest
    raised = f", backrest {angle_text(backrest)}" if len(window.cycle) == 1 and backrest else ""
    wordings = (f"{name}{raised}, {times}", f"{name} {times}", f"{name}{raised}", name)
    return lanes.Named(wordings, window.span, bool(window.prescribed_by))


def _name_turns(
    drawing: Drawing, ribbon: _Ribbon, row: lanes.Row, middle: float, name: str
) -> None:
    if ribbon.is_folded:
        if ribbon.delivered is not None:
            drawing.text(
                Point(row.left, middle - lanes.HALF - 4.0), name, size=lanes.SMALL,
                font_weight="600",
            )  # fmt: skip
        return
    angle = angle_text(ribbon.largest)
    for base, lines in (
        (-lanes.HALF + 11.0, ("turned to the left,", "right side raised")),
        (lanes.HALF - 18.0, ("turned to the right,", "left side raised")),
    ):
        for number, line in enumerate(lines):
            drawing.text(Point(_EDGE, middle + base + 15.0 * number), line, size=lanes.SMALL)
    drawing.text(Point(_EDGE, middle + 4.0), name, size=lanes.LABEL, font_weight="700")
    for y, words in ((-lanes.HALF + 11.0, angle), (4.0, "level"), (lanes.HALF - 3.0, angle)):
        drawing.text(Point(row.left - 5.0, middle + y), words, size=lanes.SMALL, text_anchor="end")


def _draw_work(drawing: Drawing, ribbon: _Ribbon, row: lanes.Row, top: float) -> float:
    y = top
    if row.parts(ribbon.sleep):
        lanes.draw_sleep_lane(drawing, row, ribbon.sleep, y)
        y = _name_lane(drawing, ribbon, y, "sleep")
    if row.marks(ribbon.rounds):
        lanes.draw_rounds(drawing, row, ribbon.rounds, y)
        y = _name_lane(drawing, ribbon, y, "carers' rounds")
    for hands in lanes.hands_lanes([task.times for task in ribbon.programme.tasks]):
        if row.marks(hands.times):
            lanes.draw_hands(drawing, row, hands, y)
            y = _name_lane(drawing, ribbon, y, "by hand")
    return y


def _name_lane(drawing: Drawing, ribbon: _Ribbon, y: float, words: str) -> float:
    if not ribbon.is_folded:
        drawing.text(Point(_EDGE, y + 14.0), words, size=lanes.SMALL)
    return y + lanes.LANE


def _key(drawing: Drawing, ribbon: _Ribbon, y: float) -> float:
    for group in window_groups(ribbon.programme):
        y = _key_line(drawing, y, group_text(group))
    if ribbon.rounds:
        lanes.draw_round_sign(drawing, Point(18.0, y + 9.0))
        y = _key_line(drawing, y, rounds_text(ribbon.rounds))
    for number, task in enumerate(ribbon.programme.tasks, 1):
        lanes.draw_hands_sign(drawing, Point(18.0, y + 9.0), str(number))
        y = _key_line(drawing, y, task_text(task))
    drawing.rectangle(Box(10.0, y + 3.0, 16.0, 12.0), fill=NIGHT, stroke=INK, stroke_width=0.5)
    y = _key_line(drawing, y, f"Shaded: sleep, {span_text(ribbon.sleep)}.")
    if ribbon.delivered is not None:
        box = Box(10.0, y + 3.0, 16.0, 12.0)
        drawing.rectangle(box, fill=PAPER)
        drawing.rectangle(box, fill=drawing.hatching(INK), stroke=INK, stroke_width=0.6)
        y = _key_line(drawing, y, _unknown_text(ribbon.delivered))
    return _key_line(drawing, y, OWN_SIDES)


def _key_line(drawing: Drawing, y: float, words: str) -> float:
    for line in wrapped(words, drawing.width - 36.0 - _MARGIN, lanes.LABEL):
        drawing.text(Point(36.0, y + 13.0), line, size=lanes.LABEL)
        y += 17.0
    return y + 5.0


def rounds_text(rounds: Sequence[float]) -> str:
    """Carers' rounds as one sentence."""
    return f"Carers' rounds: {', '.join(clock_text(time) for time in sorted(rounds))}."


def _unknown_text(delivered: Sequence[Piece]) -> str:
    unknown = sum(p.end - p.start for p in delivered if p.validity is Validity.UNKNOWN)
    said = f"unknown, {duration_text(unknown)} of 24 h" if unknown else "unknown: none"
    return (
        f"Hatched: {said}; counted neither as kept nor as missed. Delivered is what the surface "
        "did; the person was not measured. Dashed line: the plan."
    )


def task_text(task: ManualTask) -> str:
    """Work by hand as one sentence; an owner nobody named is said so."""
    sites = sites_text(task.sites) or "whole body"
    times = ", ".join(clock_text(time) for time in task.times) or "no time set"
    owner = visible(task.owner) or "NOBODY NAMED"
    return f"By hand, {sites}: {visible(task.what).rstrip('.')}; at {times}; owner: {owner}."


def ribbon_words(programme: Programme, sleep: DaySpan, rounds: Sequence[float]) -> str:
    """What the ribbon of a plan says, whole, for those who cannot see it."""
    said = [group_text(group) for group in window_groups(programme)]
    said.append(f"Sleep: {span_text(sleep)}.")
    if rounds:
        said.append(rounds_text(rounds))
    said.extend(task_text(task) for task in programme.tasks)
    return " ".join([*said, OWN_SIDES])


def _in_words(ribbon: _Ribbon) -> str:
    said = [ribbon_words(ribbon.programme, ribbon.sleep, ribbon.rounds)]
    if ribbon.delivered is not None:
        said.extend(
            f"Delivered {clock_text(ribbon.clock(piece.start))} to "
            f"{clock_text(ribbon.clock(piece.end))}: {_piece_text(piece)}."
            for piece in ribbon.delivered
        )
        said.append(_unknown_text(ribbon.delivered))
    return " ".join(said)


def _piece_text(piece: Piece) -> str:
    if piece.validity is Validity.UNKNOWN:
        return "unknown"
    moving = "moving, " if piece.validity is Validity.MOVING else ""
    return moving + posture_text(piece.posture)

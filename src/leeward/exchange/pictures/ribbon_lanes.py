"""The lanes of a day ribbon: names of windows, turn, hours, sleep, rounds, work by hand."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from leeward.exchange.pictures.drawing import Box, Drawing, Point, fitted, text_width
from leeward.exchange.pictures.one_day import Piece
from leeward.exchange.pictures.palette import FAINT, INK, NIGHT, PAPER, TIDE
from leeward.exchange.pictures.words import angle_text
from leeward.terms.clock import DaySpan, clock_text
from leeward.terms.posture import Place
from leeward.terms.series import Validity
from leeward.terms.units import (
    SECONDS_PER_DAY,
    SECONDS_PER_HOUR,
    deg_from_radians,
    radians_from_deg,
)

LABEL = 13.0
SMALL = 12.0
LANE = 19.0
#: Half the height of a lane of turns: the largest turn either way.
HALF = 50.0
NAME_ROW = 17.0
#: Bold letters are wider than the estimate for plain ones.
BOLDER = 1.1
_EAR = 6.0
_MOST_LEVELS = 3
_MOST_HANDS = 5


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the ribbon: which hours it holds and where it lies."""

    start: float
    end: float
    left: float
    right: float
    begins: float

    def x(self, time: float) -> float:
        """Place of a time on the row, in seconds after the ribbon begins."""
        share = (time - self.start) / (self.end - self.start)
        return self.left + share * (self.right - self.left)

    def clipped(self, start: float, end: float) -> tuple[float, float] | None:
        """Left and right edge of the part of a stretch that lies on this row."""
        low, high = max(start, self.start), min(end, self.end)
        return (self.x(low), self.x(high)) if high - low > 1e-6 else None

    def parts(self, span: DaySpan) -> list[tuple[float, float]]:
        """Edges of the parts of a clock span that lie on this row."""
        start = (span.start - self.begins) % SECONDS_PER_DAY
        end = start + span.duration
        found = (self.clipped(start, end), self.clipped(0.0, end - SECONDS_PER_DAY))
        return [part for part in found if part is not None]

    def marks(self, times: Sequence[float]) -> list[float]:
        """Places of the clock times that lie on this row."""
        after = [(time - self.begins) % SECONDS_PER_DAY for time in times]
        return [self.x(time) for time in after if self.start <= time < self.end]


@dataclass(frozen=True, slots=True)
class Named:
    """A part of the day with its name, longest wording first."""

    wordings: tuple[str, ...]
    span: DaySpan
    is_prescribed: bool


@dataclass(frozen=True, slots=True)
class NamedStretch:
    """A name over its part of a row, on the line of names where it found room."""

    left: float
    right: float
    text_left: float
    words: str
    level: int
    named: Named

    def covers(self, x: float) -> bool:
        """Whether a leader at `x` would pass through the words."""
        return self.text_left - 2.0 < x < self.text_left + text_width(self.words, SMALL)


def placed_names(row: Row, names: Sequence[Named]) -> tuple[NamedStretch, ...]:
    """Find room for each name, upwards where names would collide; the key names all."""
    ends: list[float] = []
    placed: list[NamedStretch] = []
    stretches = [(*part, named) for named in names for part in row.parts(named.span)]
    for left, right, named in sorted(stretches, key=lambda stretch: stretch[0]):
        words = next(
            (w for w in named.wordings if text_width(w, SMALL) <= right - left),
            fitted(named.wordings[-1], 0.45 * (row.right - row.left), SMALL),
        )
        wide = text_width(words, SMALL)
        start = max(row.left, min(left + 1.0, row.right - wide))
        level = next((n for n, end in enumerate(ends) if end + 6.0 <= start), len(ends))
        if level == _MOST_LEVELS:
            words, wide = "", 0.0
        elif level == len(ends):
            ends.append(0.0)
        if words:
            ends[level] = start + wide
        placed.append(NamedStretch(left, right, start, words, level if words else 0, named))
    return tuple(placed)


def draw_names(drawing: Drawing, names: Sequence[NamedStretch], bottom: float) -> None:
    """Brackets along `bottom` with the windows' names above them."""
    for name in names:
        left, right, base = name.left + 1.0, name.right - 1.0, bottom - _EAR
        dashes: dict[str, str | float] = (
            {"stroke_dasharray": "4 3"} if name.named.is_prescribed else {}
        )
        drawing.line(Point(left, base), Point(right, base), stroke_width=2.0, **dashes)
        for x in (left, right):
            drawing.line(Point(x, base), Point(x, bottom))
        for level in range(name.level):
            if not any(other.level == level and other.covers(left) for other in names):
                foot = base - NAME_ROW * level
                drawing.line(Point(left, foot - NAME_ROW), Point(left, foot), stroke=FAINT)
        if name.words:
            at = Point(name.text_left, base - 4.0 - NAME_ROW * name.level)
            drawing.text(at, name.words, size=SMALL, whole=name.named.wordings[0])


def draw_turns(
    drawing: Drawing, row: Row, middle: float, pieces: Sequence[Piece], largest: float
) -> None:
    """Height is turn: up to the person's left, down to their right; `largest` fills it."""
    for share in (-1.0, -0.5, 0.5, 1.0):
        y = middle - share * HALF
        look: dict[str, str | float] = {"stroke": FAINT, "stroke_width": 0.6}
        drawing.line(Point(row.left, y), Point(row.right, y), stroke_dasharray="1 4", **look)
    for piece in pieces:
        edges = row.clipped(piece.start, piece.end)
        if edges is not None:
            _draw_piece(drawing, edges, middle, piece, largest)
    drawing.line(Point(row.left, middle), Point(row.right, middle), stroke_width=1.6)


def _draw_piece(
    drawing: Drawing, edges: tuple[float, float], middle: float, piece: Piece, largest: float
) -> None:
    left, width = edges[0], edges[1] - edges[0]
    whole = Box(left, middle - HALF, width, 2.0 * HALF)
    if piece.validity is Validity.UNKNOWN:
        drawing.rectangle(whole, fill=PAPER)
        drawing.rectangle(whole, fill=drawing.hatching(INK), stroke=INK, stroke_width=0.6)
    elif piece.posture.place is not Place.BED:
        drawing.rectangle(whole, fill=drawing.dotting(INK), stroke=INK, stroke_dasharray="4 3")
    elif piece.posture.turn != 0.0:
        height = HALF * abs(piece.posture.turn) / largest
        top = middle - height if piece.posture.turn > 0.0 else middle
        drawing.rectangle(Box(left, top, width, height), fill=TIDE, stroke=PAPER)


def label_turns(
    drawing: Drawing, row: Row, middle: float, pieces: Sequence[Piece], largest: float
) -> None:
    """Words on the pieces that have room for them, over everything else."""
    for piece in pieces:
        edges = row.clipped(piece.start, piece.end)
        if edges is None:
            continue
        whole = Box(edges[0], middle - HALF, edges[1] - edges[0], 2.0 * HALF)
        if piece.validity is Validity.UNKNOWN:
            _label(drawing, whole, "unknown")
        elif piece.posture.place is not Place.BED:
            _label(drawing, whole, "out of bed")
        elif piece.validity is Validity.KNOWN:
            _label_turn(drawing, whole, piece.posture.turn, largest)


def _label_turn(drawing: Drawing, whole: Box, turn: float, largest: float) -> None:
    middle = whole.middle
    height = HALF * abs(turn) / largest
    if height < 0.5:
        if whole.width > text_width("level", SMALL) + 6.0:
            drawing.text(Point(middle.x, middle.y - 5.0), "level", size=SMALL, text_anchor="middle")
        return
    is_left = turn > 0.0
    side, angle = "left" if is_left else "right", angle_text(turn)
    for lines in ((f"{side} {angle}",), (side, angle), (angle,)):
        wide = max(BOLDER * text_width(line, LABEL) for line in lines)
        if wide <= whole.width - 2.0 and 14.0 * len(lines) + 4.0 <= height:
            top = middle.y - 14.0 * len(lines) - 5.0 if is_left else middle.y + 1.0
            for number, line in enumerate(lines, 1):
                at = Point(middle.x, top + 14.0 * number)
                drawing.text(at, line, fill=PAPER, font_weight="600", text_anchor="middle")
            return


def _label(drawing: Drawing, box: Box, words: str) -> None:
    wide = text_width(words, SMALL) + 8.0
    if wide > box.width:
        return
    middle = box.middle
    drawing.rectangle(Box(middle.x - wide / 2.0, middle.y - 19.0, wide, 17.0), fill=PAPER)
    drawing.text(Point(middle.x, middle.y - 6.0), words, size=SMALL, text_anchor="middle")


def outline_plan(
    drawing: Drawing, row: Row, middle: float, pieces: Sequence[Piece], largest: float
) -> None:
    """The plan again as a dashed line, for what was delivered to be read against."""
    corners: list[Point] = []
    for piece in pieces:
        edges = row.clipped(piece.start, piece.end)
        if edges is not None:
            y = middle - HALF * piece.posture.turn / largest
            corners.extend((Point(edges[0], y), Point(edges[1], y)))
    look: dict[str, str | float] = {"fill": "none", "stroke_dasharray": "5 3"}
    drawing.polygon(corners, closed=False, stroke=PAPER, stroke_width=3.2, **look)
    drawing.polygon(corners, closed=False, stroke=INK, stroke_width=1.4, **look)


def draw_sleep_shade(drawing: Drawing, row: Row, sleep: DaySpan, top: float, bottom: float) -> None:
    """Time asleep behind everything."""
    for left, right in row.parts(sleep):
        drawing.rectangle(Box(left, top, right - left, bottom - top), fill=NIGHT)


def draw_hours(drawing: Drawing, row: Row, top: float) -> None:
    """Hours of the clock under the turns, as many as have room."""
    hours = (row.end - row.start) / SECONDS_PER_HOUR
    room = (row.right - row.left) / hours
    step = next(n for n in (1, 2, 3, 4, 6) if n * room >= text_width("00:00", SMALL) + 8.0)
    for hour in range(int(hours) + 1):
        time = row.start + hour * SECONDS_PER_HOUR
        is_named = hour % step == 0
        x = row.x(time)
        drawing.line(Point(x, top), Point(x, top + (5.0 if is_named else 3.0)))
        if is_named:
            words = clock_text(row.begins + time)
            drawing.text(Point(x, top + 17.0), words, size=SMALL, text_anchor="middle")


def draw_sleep_lane(drawing: Drawing, row: Row, sleep: DaySpan, top: float) -> None:
    """Time asleep as a bar with its words."""
    words = f"sleep {clock_text(sleep.start)} to {clock_text(sleep.end)}"
    for left, right in row.parts(sleep):
        drawing.rectangle(Box(left, top + 2.0, right - left, LANE - 4.0), fill=NIGHT)
        shown = next((w for w in (words, "sleep") if text_width(w, SMALL) < right - left), None)
        if shown:
            drawing.text(Point(left + 4.0, top + 14.0), shown, size=SMALL)


def draw_rounds(drawing: Drawing, row: Row, rounds: Sequence[float], top: float) -> None:
    """A downward triangle at each round."""
    for x in row.marks(rounds):
        draw_round_sign(drawing, Point(x, top + LANE / 2.0))


def draw_round_sign(drawing: Drawing, at: Point) -> None:
    """The sign for a round."""
    drawing.polygon((Point(at.x - 6.0, at.y - 5.0), Point(at.x + 6.0, at.y - 5.0),
                     Point(at.x, at.y + 6.0)))  # fmt: skip


@dataclass(frozen=True, slots=True)
class HandsLane:
    """Tasks done at the same times, drawn once."""

    times: tuple[float, ...]
    sign: str


def draw_hands(drawing: Drawing, row: Row, lane: HandsLane, top: float) -> None:
    """A numbered sign each time hands are needed."""
    y = top + LANE / 2.0
    drawing.line(Point(row.left, y), Point(row.right, y), stroke=FAINT, stroke_width=0.6)
    for x in row.marks(lane.times):
        draw_hands_sign(drawing, Point(x, y), lane.sign)


def draw_hands_sign(drawing: Drawing, at: Point, sign: str) -> None:
    """The sign for work by hand, with the numbers of the tasks."""
    width = max(16.0, BOLDER * text_width(sign, SMALL) + 8.0)
    look: dict[str, str | float] = {"fill": PAPER, "stroke": INK, "stroke_width": 1.2}
    drawing.rectangle(Box(at.x - width / 2.0, at.y - 8.0, width, 16.0), rx=8.0, **look)
    at = Point(at.x, at.y + 4.4)
    drawing.text(at, sign, size=SMALL, font_weight="600", text_anchor="middle")


def hands_lanes(times_of_tasks: Sequence[tuple[float, ...]]) -> tuple[HandsLane, ...]:
    """Gather tasks by their times; those beyond the lanes there is room for share the last."""
    numbers: dict[tuple[float, ...], list[int]] = {}
    for number, times in enumerate(times_of_tasks, 1):
        numbers.setdefault(tuple(sorted(times)), []).append(number)
    lanes = [HandsLane(times, _numbers_text(found)) for times, found in numbers.items()]
    if len(lanes) <= _MOST_HANDS:
        return tuple(lanes)
    rest = {time for lane in lanes[_MOST_HANDS - 1 :] for time in lane.times}
    return (*lanes[: _MOST_HANDS - 1], HandsLane(tuple(sorted(rest)), "more"))


def _numbers_text(numbers: Sequence[int]) -> str:
    """Task numbers as a list in which neighbours are joined: ``1,3–5``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    text = ",".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ",".join(map(str, run)) for run in runs
    )
    return text if len(text) <= 6 else f"{text[:5]}…"


def largest_turn(pieces: Sequence[Piece]) -> float:
    """Turn that fills a lane: the next ten degrees above the largest shown. [rad]"""
    shown = [abs(piece.posture.turn) for piece in pieces if piece.validity is not Validity.UNKNOWN]
    degrees = deg_from_radians(max(shown, default=0.0))
    return radians_from_deg(max(20.0, 10.0 * math.ceil((degrees - 1e-6) / 10.0)))

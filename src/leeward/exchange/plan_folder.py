"""The folder a plan is written to: the plan file, pictures and sheets, each whole or not at all."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from pathlib import Path

from leeward.contact.load_table import LoadTable
from leeward.contact.loads import LoadRequest
from leeward.contact.section import section_outline
from leeward.exchange.case_file import CaseDocument
from leeward.exchange.load_summary import SiteLoadRow, summarise
from leeward.exchange.new_file import replace_whole
from leeward.exchange.pictures.allowance_bars import allowance_bars
from leeward.exchange.pictures.body_map import SiteLoad, body_map
from leeward.exchange.pictures.day_ribbon import day_ribbon
from leeward.exchange.pictures.page import WALL, Picture, page_of_pictures
from leeward.exchange.pictures.section import section
from leeward.exchange.pictures.section_view import view_of_outline
from leeward.exchange.pictures.sensitivity import sensitivity_picture
from leeward.exchange.pictures.trade_off import trade_off_picture
from leeward.exchange.pictures.words import OWN_SIDES
from leeward.exchange.plan_file import write_plan
from leeward.exchange.sensitivity_table import sensitivity_table
from leeward.exchange.sheet import bedside_sheet
from leeward.exchange.sheet_identity import SheetIdentity
from leeward.exchange.sheet_plan import plan_document
from leeward.exchange.way_words import choice_labels
from leeward.programme.decision import Choice, ChoiceName, Decision
from leeward.programme.trade_off import trade_off_of
from leeward.terms.day import Day
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.units import pascal_from_mmhg

#: A draft is to be looked at again after this many days.
#: Source: convention of this project, the last of the looks of a build-up.
REVIEW_AFTER_DAYS = 7

NOBODY_YET = "nobody yet: draft"

_CHOICES = "|".join(name.value.replace(" ", "-") for name in ChoiceName)
_DRAFTS = re.compile(
    rf"(?:{_CHOICES})(?:-\d+)?-(?:bedside-sheet\.pdf|plan\.pdf|day-ribbon\.svg|index\.svg)"
    r"|section\.svg|body-map\.svg|trade-off\.svg|sensitivity\.(?:svg|csv)|pictures\.html"
)

#: Loads of one posture of the case: what was asked and what was found.
Predict = Callable[[Posture], tuple[LoadRequest, LoadTable]]


@dataclass(frozen=True, slots=True)
class WrittenFile:
    """One file of the folder.

    Parameters
    ----------
    path : Path
        Where.
    what : str
        What it is.
    """

    path: Path
    what: str


def write_plan_folder(
    folder: Path, document: CaseDocument, decision: Decision, predict: Predict
) -> tuple[WrittenFile, ...]:
    """Write everything a plan consists of; drafts, since nobody has accepted anything."""
    folder.mkdir(parents=True, exist_ok=True)
    plan = folder / "plan.json"
    write_plan(plan, document, decision)
    _take_away_drafts(folder)
    written = [WrittenFile(plan, "the decision and its case, for `leeward sheet`")]
    for name, choice in _file_names(decision):
        written.extend(_choice_files(folder / name, document, decision, choice))
    if decision.choices:
        pictures = {
            **_trade_off(decision),
            **_sensitivity(decision),
            **_load_pictures(decision, predict),
        }
        for name, (picture, what) in pictures.items():
            drawn = picture.draw(picture.widest).encode()
            written.append(_written(folder / f"{name}.svg", drawn, what))
        page = _page(document, decision, [picture for picture, _ in pictures.values()])
        written.append(_written(folder / "pictures.html", page.encode(), "all pictures, one page"))
        written.extend(_table(folder, decision))
    return tuple(written)


def _take_away_drafts(folder: Path) -> None:
    """Take away an earlier plan's pictures and sheets: nobody may print what is withdrawn."""
    for path in folder.iterdir():
        if _DRAFTS.fullmatch(path.name):
            path.unlink()


def draft_identity(label: str, made_on: date) -> SheetIdentity:
    """Identity of a sheet nobody answers for yet."""
    review = made_on + timedelta(days=REVIEW_AFTER_DAYS)
    return SheetIdentity(label, version=1, author=NOBODY_YET, review_on=review)


def _file_names(decision: Decision) -> list[tuple[str, Choice]]:
    """A name for the files of each choice; of several with one name the second is -2."""
    named: list[tuple[str, Choice]] = []
    for choice in decision.choices:
        same = sum(other.name is choice.name for _, other in named)
        number = f"-{same + 1}" if same else ""
        named.append((choice.name.value.replace(" ", "-") + number, choice))
    return named


def _choice_files(
    stem: Path, document: CaseDocument, decision: Decision, choice: Choice
) -> list[WrittenFile]:
    day = document.case.day
    identity = draft_identity(document.case.person.label, decision.made_at.date())
    ribbon = day_ribbon(choice.programme, sleep=day.sleep, rounds=day.rounds)
    bars = allowance_bars(choice, compared_with=decision.compared_with)
    sheet = bedside_sheet(decision, choice, day=day, identity=identity)
    whole = plan_document(decision, choice, day=day, identity=identity)
    return [
        _written(_beside(stem, "bedside-sheet.pdf"), sheet, "draft of the bedside sheet"),
        _written(_beside(stem, "plan.pdf"), whole, "draft of the full plan"),
        _written(_beside(stem, "day-ribbon.svg"), ribbon.encode(), "the day at a glance"),
        _written(_beside(stem, "index.svg"), bars.encode(), "index of each site with its band"),
    ]


def _table(folder: Path, decision: Decision) -> list[WrittenFile]:
    found = decision.sensitivity
    if found is None:
        return []
    what = "what the choices hang on, as a table"
    return [_written(folder / "sensitivity.csv", sensitivity_table(found).encode(), what)]


def _beside(stem: Path, what: str) -> Path:
    return stem.with_name(f"{stem.name}-{what}")


def _page(document: CaseDocument, decision: Decision, others: list[Picture]) -> str:
    """Every picture of the plan on one page: day and index of each choice first."""
    day, names = document.case.day, [choice.name for choice in decision.choices]
    pictures = [
        picture
        for name, choice in zip(choice_labels(names), decision.choices, strict=True)
        for picture in (
            Picture(f"The day, {name}", partial(_ribbon, choice, day), WALL),
            Picture(f"Index of each site, {name}", partial(_bars, choice, decision)),
        )
    ]
    label = document.case.person.label
    notes = (OWN_SIDES, "Drafts: nobody has accepted anything.", document.case.invented)
    title = f"Turning plan for {label}, {decision.made_at.date().isoformat()}"
    return page_of_pictures(title, tuple(filter(None, notes)), (*pictures, *others))


def _ribbon(choice: Choice, day: Day, width: float) -> str:
    return day_ribbon(choice.programme, sleep=day.sleep, rounds=day.rounds, width=width)


def _bars(choice: Choice, decision: Decision, width: float) -> str:
    return allowance_bars(choice, compared_with=decision.compared_with, width=width)


#: A picture by its file's name, with what it is.
_Pictures = dict[str, tuple[Picture, str]]


def _trade_off(decision: Decision) -> _Pictures:
    found = trade_off_of(decision)
    picture = Picture("Relief against sleep", lambda width: trade_off_picture(found, width=width))
    what = "relief against sleep: what was searched, the choices, what people do"
    return {"trade-off": (picture, what)}


def _sensitivity(decision: Decision) -> _Pictures:
    found = decision.sensitivity
    if found is None:
        return {}
    picture = Picture(
        "What the choices hang on", lambda width: sensitivity_picture(found, width=width)
    )
    return {"sensitivity": (picture, "what the choices hang on: each convention taken otherwise")}


def _load_pictures(decision: Decision, predict: Predict) -> _Pictures:
    """Section and body map at the largest turn of the first choice that the unit runs."""
    run = [one.programme for one in decision.choices if not one.programme.turned_by_hand]
    if not run:
        return {}
    stays = [stay for window in run[0].windows for stay in window.cycle]
    posture = max((stay.posture for stay in stays), key=lambda one: abs(one.turn))
    request, table = predict(posture)
    cuts = [section_outline(request, table, 0, posture, part) for part in ("thorax", "pelvis")]
    views = tuple(view_of_outline(cut) for cut in cuts)
    loads = [_site_load(row) for row in summarise(table, posture).sites]
    said = turn_in_words(posture.turn)
    drawn = Picture(f"Cut across, {said}", lambda width: section(views, width=width))
    mapped = Picture(f"Load, {said}", lambda width: body_map(loads, caption=said, width=width))
    return {
        "section": (drawn, "body and bed cut across"),
        "body-map": (mapped, "load at each site with its band"),
    }


def _site_load(row: SiteLoadRow) -> SiteLoad:
    low, high = row.low_mmhg, row.high_mmhg
    return SiteLoad(
        site=row.site,
        patch_load=None if row.load_mmhg is None else pascal_from_mmhg(row.load_mmhg),
        low=None if low is None else pascal_from_mmhg(low),
        high=None if high is None else pascal_from_mmhg(high),
    )


def _written(path: Path, content: bytes, what: str) -> WrittenFile:
    replace_whole(path, content)
    return WrittenFile(path, what)

"""The folder a plan is written to: the plan file, pictures and sheets, each whole or not at all."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
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
from leeward.exchange.pictures.section import section
from leeward.exchange.pictures.section_view import view_of_outline
from leeward.exchange.pictures.sensitivity import sensitivity_picture
from leeward.exchange.pictures.trade_off import trade_off_picture
from leeward.exchange.plan_file import write_plan
from leeward.exchange.sensitivity_table import sensitivity_table
from leeward.exchange.sheet import bedside_sheet
from leeward.exchange.sheet_identity import SheetIdentity
from leeward.exchange.sheet_plan import plan_document
from leeward.programme.decision import Choice, ChoiceName, Decision
from leeward.programme.trade_off import trade_off_of
from leeward.terms.posture import Posture, turn_in_words
from leeward.terms.units import pascal_from_mmhg

#: A draft is to be looked at again after this many days.
#: Source: convention of this project, the last of the looks of a build-up.
REVIEW_AFTER_DAYS = 7

NOBODY_YET = "nobody yet: draft"

_CHOICES = "|".join(name.value.replace(" ", "-") for name in ChoiceName)
_DRAFTS = re.compile(
    rf"(?:{_CHOICES})(?:-\d+)?-(?:bedside-sheet\.pdf|plan\.pdf|day-ribbon\.svg|index\.svg)"
    r"|section\.svg|body-map\.svg|trade-off\.svg|sensitivity\.(?:svg|csv)"
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
        drawn = trade_off_picture(trade_off_of(decision))
        what = "relief against sleep: what was searched, the choices, what people do"
        written.append(_written(folder / "trade-off.svg", drawn.encode(), what))
        written.extend(_sensitivity_files(folder, decision))
        written.extend(_load_pictures(folder, decision, predict))
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


def _sensitivity_files(folder: Path, decision: Decision) -> list[WrittenFile]:
    found = decision.sensitivity
    if found is None:
        return []
    drawn, table = sensitivity_picture(found).encode(), sensitivity_table(found).encode()
    what = "what the choices hang on: each convention taken otherwise"
    return [
        _written(folder / "sensitivity.svg", drawn, what),
        _written(folder / "sensitivity.csv", table, "the same as a table"),
    ]


def _beside(stem: Path, what: str) -> Path:
    return stem.with_name(f"{stem.name}-{what}")


def _load_pictures(folder: Path, decision: Decision, predict: Predict) -> list[WrittenFile]:
    """Section and body map at the largest turn of the first choice that the unit runs."""
    run = [one.programme for one in decision.choices if not one.programme.turned_by_hand]
    if not run:
        return []
    stays = [stay for window in run[0].windows for stay in window.cycle]
    posture = max((stay.posture for stay in stays), key=lambda one: abs(one.turn))
    request, table = predict(posture)
    cuts = (section_outline(request, table, 0, posture, part) for part in ("thorax", "pelvis"))
    drawn = section(tuple(view_of_outline(cut) for cut in cuts))
    loads = [_site_load(row) for row in summarise(table, posture).sites]
    mapped = body_map(loads, caption=turn_in_words(posture.turn))
    return [
        _written(folder / "section.svg", drawn.encode(), "body and bed cut across"),
        _written(folder / "body-map.svg", mapped.encode(), "load at each site with its band"),
    ]


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

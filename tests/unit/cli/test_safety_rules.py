"""The rules nothing may switch off, each through the front door."""

import json
import re
from pathlib import Path

import pytest
import typer

from leeward import flow
from leeward.cli import app
from leeward.programme.decision import Decision, Outcome, SiteStanding
from leeward.records.canonical import digest
from leeward.terms.site import MANUALLY_OFFLOADED_SITES
from leeward.terms.units import deg_from_radians
from tests.unit.cli.front_door import Changed, Planned, example, loads_solved_anew, part, plan, run
from tests.unit.exchange.pdf_reading import Print

PLANS = ("ordinary", "half_known", "out_of_reach")

#: Words that would turn a ranking into a promise.
PROMISES = re.compile(
    r"probability of|chance of|likelihood|odds of|% risk|risk of (?:injury|damage|sores?)"
    r"|safe (?:for|hours|time|until|up to|to lie)|hours? (?:is|are) safe|no risk|guarantee"
    r"|will not (?:be injured|harm)",
    re.IGNORECASE,
)

#: A turn with its side, and the side raised where it is said.
SAID_TURN = re.compile(r"turned to the (left|right)(?:,? (?:[\d.]+°)?,? ?(\w+) side raised)?")
#: A turn in a text that was cut short: it stands whole in the note that is pointed to.
CUT_SHORT = re.compile(r"turned to the (?:left|right)[^;:]{0,12}… \[note \d+\]")

LOOKS = example("ordinary").read_text(encoding="utf-8")
LOOKS = LOOKS[LOOKS.index("    looks:") : LOOKS.index("    source: turning chart")]
CHECKS = part("skin_checks", "offloading")
REGIMES = part("regimes", "policy")
MATTRESS = (
    "  mattress: {kind: foam, thickness_mm: 140, cv40_kpa: 3.5, density_kg_m3: 45, "
    "years_in_use: 0}\n"
)
LAYERS = "  layers: []               # someone looked: nothing in between\n"
NO_FRICTION = ("  friction_coefficient: 0.45\n", "")
WHOLE = ("{unit: split-plain}", "{unit: whole-basic}")
SPINE = "kind: unstable spine"
SIGNED = "continues: {by: Example surgeon E, when: 2026-11-24, reason: fixed and stable}"


def with_person(line: str) -> tuple[str, str]:
    return "  aim: prevention\n", f"  aim: prevention\n  {line}\n"


def decided(case: Path, folder: Path) -> Decision:
    return plan(case, folder).stored.decision


def largest_turn_deg(decision: Decision) -> float:
    return max(
        abs(deg_from_radians(stay.posture.turn))
        for choice in decision.choices
        for window in choice.programme.windows
        for stay in window.cycle
    )


def all_text(planned: Planned) -> str:
    """Everything a plan says: on screen, in its file, pictures and pages."""
    told = [planned.ran.out]
    for path in sorted(planned.folder.iterdir()):
        if path.suffix == ".pdf":
            told.extend(Print(path.read_bytes()).pages)
        else:
            told.append(path.read_text(encoding="utf-8"))
    return " ".join(" ".join(told).split())


# 1: no probability of injury, no safe hours


@pytest.mark.parametrize("which", PLANS)
def test_no_page_picture_or_screen_promises_anything(which: str, request: pytest.FixtureRequest):
    assert PROMISES.search(all_text(request.getfixturevalue(which))) is None


@pytest.mark.parametrize(
    "promise", ["safe for 4 hours", "a 3 % risk", "Probability of injury", "safe hours: 2"]
)
def test_the_search_for_promises_finds_one(promise: str):
    assert PROMISES.search(f"Turned to the left 30°: {promise}.")


# 2: what is missing never reassures


@pytest.mark.parametrize(
    ("without", "question"),
    [
        ([(REGIMES, "")], "How has this person lain so far"),
        ([(LOOKS, ""), (CHECKS, "")], "was not seen often enough"),
        ([(LOOKS, "")], "was not seen often enough"),
    ],
    ids=["no regime", "no look at skin", "one single look"],
)
def test_without_evidence_nothing_is_offered_and_what_lacks_is_asked(
    without: list[tuple[str, str]], question: str, tmp_path: Path, changed: Changed
):
    planned = plan(changed(*without), tmp_path / "plan")
    assert planned.ran.code == 3
    assert planned.stored.decision.choices == ()
    assert question in planned.ran.said
    assert "skin seen clear under it" not in planned.ran.said


@pytest.mark.parametrize(
    ("without", "least"),
    [((MATTRESS, ""), 1.05), ((LAYERS, ""), 1.05), (NO_FRICTION, 1.0)],
    ids=["mattress", "layers", "friction"],
)
def test_what_nobody_described_widens_the_bands(
    without: tuple[str, str], least: float, changed: Changed
):
    """Friction moves loads least: a hundredth of what the hips and the rest leave open."""
    known, unknown = (
        bands_mmhg(run("loads", case, "--turn-deg", 30, "--json").out)
        for case in (example("ordinary"), changed(without))
    )
    assert sum(unknown.values()) > least * sum(known.values())


def bands_mmhg(out: str) -> dict[str, float]:
    return {
        row["site"]: row["high_mmhg"] - row["low_mmhg"]
        for row in json.loads(out)["sites"]
        if row["high_mmhg"] is not None
    }


def test_what_nobody_described_is_said_and_never_marked_as_settled(half_known: Planned):
    assert "! Nobody described the layers between body and mattress" in half_known.ran.said
    assert "! Programmes are compared with 'assumed: every 2 hours'" in half_known.ran.said


def test_an_assumed_policy_is_never_called_seen_clear(half_known: Planned):
    text = all_text(half_known)
    assert "seen clear under it)" not in text
    assert "never seen clear" in text
    for choice in half_known.stored.decision.choices:
        assert all(s.standing is not SiteStanding.COMPARED for s in choice.assessment.sites)


# 3: a protected site is loaded in no proposed stay beyond its ceiling


def test_a_protected_sacrum_is_in_nothing_proposed_and_the_meal_is_the_practitioners(
    tmp_path: Path, changed: Changed
):
    case = changed(with_person("protected_sites: [{site: sacrum, reason: graft}]"))
    planned = plan(case, tmp_path / "plan")
    assert planned.ran.code == 1
    assert planned.stored.decision.outcome is Outcome.NONE_QUALIFIES
    assert planned.stored.decision.choices == ()
    assert "Nothing is proposed, not even as what comes closest" in planned.ran.said
    assert "Lunch, 12:00 to 13:00 (prescribed by Example dietitian D)" in planned.ran.said


# 4: contraindications stop until a named practitioner answers in writing


def test_a_contraindication_stops_until_a_name_answers_for_it(tmp_path: Path, changed: Changed):
    case = changed(with_person(f"contraindications: [{{{SPINE}}}]"))
    ran = run("plan", case, "--out", tmp_path / "plan")
    assert ran.code == 1
    assert "Unstable spine: turning could do harm" in ran.said
    assert not list(tmp_path.glob("plan/*.pdf"))


@pytest.mark.parametrize(
    "signed",
    [
        "",
        "{by: ' ', when: 2026-11-24, reason: x}",
        "{by: A. Invented, when: 2026-11-24, reason: '  '}",
        "{by: '\u200b', when: 2026-11-24, reason: x}",
        '{by: "-", when: 2026-11-24, reason: x}',
        "{by: A. Invented, when: 2026-11-24, reason: '.'}",
    ],
)
def test_a_blank_signature_is_refused_in_one_sentence(
    signed: str, tmp_path: Path, changed: Changed
):
    case = changed(with_person(f"contraindications: [{{{SPINE}, continues: {signed}}}]"))
    ran = run("plan", case, "--out", tmp_path / "plan")
    assert ran.code == 2
    assert ran.complained.count("expected") == 1
    assert "contraindications[1].continues" in ran.complained
    assert not (tmp_path / "plan").exists()


def test_a_signed_reason_continues_and_stands_on_the_sheet(tmp_path: Path, changed: Changed):
    case = changed(with_person(f"contraindications: [{{{SPINE}, {SIGNED}}}]"))
    planned = plan(case, tmp_path / "plan")
    words = "Unstable spine: Example surgeon E continues all the same, 2026-11-24: fixed and stable"
    assert planned.ran.code == 0
    assert words in planned.ran.said
    for page in ("bedside-sheet", "plan"):
        pdf = (planned.folder / f"balanced-{page}.pdf").read_bytes()
        assert words in " ".join(Print(pdf).pages)


# 5: what is not stable is never offered; a whole surface above 15 degrees needs a friction


def test_a_whole_surface_of_unknown_friction_is_turned_no_further_than_15_degrees(
    tmp_path: Path, changed: Changed
):
    planned = plan(changed(WHOLE, NO_FRICTION), tmp_path / "plan")
    assert largest_turn_deg(planned.stored.decision) <= 15.0
    assert "without a measured friction or a side support nothing above 15° is offered" in (
        planned.ran.said
    )


# 6: no switch removes a limit


def test_no_command_has_a_switch_that_relaxes_anything():
    commands = typer.main.get_command(app).commands.values()
    words = {word for command in commands for param in command.params for word in param.opts}
    assert len(words) > 10
    assert not [word for word in words if re.search("force|ignore|skip|unsafe|relax|limit", word)]


# 7: left and right in words, with the side raised


@pytest.mark.parametrize("which", PLANS)
def test_every_turn_is_said_with_its_side_and_the_side_raised(
    which: str, request: pytest.FixtureRequest
):
    planned = request.getfixturevalue(which)
    screen = re.sub("Choices side by side.*?(?=\nWhy )", "", planned.ran.out, flags=re.DOTALL)
    sheets = [path.read_bytes() for path in planned.folder.glob("*.pdf")]
    for text in (screen, *(" ".join(Print(pdf).pages) for pdf in sheets)):
        turns = SAID_TURN.findall(CUT_SHORT.sub("", " ".join(text.split()).lower()))
        assert turns
        for side, raised in turns:
            assert raised == {"left": "right", "right": "left"}[side]


# 10: a decision replays to itself


def test_a_decision_read_back_replays_to_the_same(half_known: Planned):
    stored = half_known.stored
    with loads_solved_anew():
        again = flow.replay(stored.case, stored.decision)
    assert again == stored.decision
    assert digest(again) == stored.decision_digest


# 12: nothing is accepted while heels and back of the head have no owner


@pytest.mark.parametrize("site", ["left heel, right heel", "occiput, left ear, right ear"])
def test_nothing_is_accepted_without_an_owner_for_what_no_turn_relieves(
    site: str, tmp_path: Path, changed: Changed
):
    text = example("ordinary").read_text(encoding="utf-8")
    line = next(one for one in text.splitlines(keepends=True) if f"sites: [{site}]" in one)
    planned = plan(changed((line, "")), tmp_path / "plan")
    pdf = tmp_path / "sheet.pdf"
    words = ("--choice", "balanced", "--author", "A. Invented", "--out", pdf)
    ran = run("sheet", planned.file, *words, "--accept-reason", "needed tonight")
    assert planned.ran.code == 0
    assert ran.code == 1
    assert "Nobody is named, with a method, for" in ran.said
    assert site.split(",", maxsplit=1)[0] in ran.said
    assert not pdf.exists()


def test_sites_that_need_hands_carry_no_index(ordinary: Planned):
    for choice in ordinary.stored.decision.choices:
        for site in choice.assessment.sites:
            if site.site in MANUALLY_OFFLOADED_SITES:
                assert site.index is None
                assert site.standing is SiteStanding.NEEDS_HANDS

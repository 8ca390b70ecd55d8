"""Every page is one page, and every relative link and picture in it leads somewhere."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
LINK = re.compile(r"\]\(([^)\s]+)(?: \"[^\"]*\")?\)")
FENCE = re.compile(r"^```.*?^```", re.M | re.S)
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md"), *ROOT.glob("examples/**/*.md")])


def headings(text: str) -> set[str]:
    """Anchors that a page's headings can be reached by."""
    titles = re.findall(r"^#+ (.+)$", FENCE.sub("", text), re.M)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in titles}


def dead_links(page: Path) -> list[str]:
    """Relative links of a page that lead nowhere."""
    dead = []
    for target in LINK.findall(FENCE.sub("", page.read_text())):
        if "://" in target or target.startswith("mailto:"):
            continue
        name, _, anchor = target.partition("#")
        place = (page.parent / name).resolve() if name else page
        known = not anchor or (place.suffix == ".md" and anchor in headings(place.read_text()))
        if not (place.exists() and known):
            dead.append(target)
    return dead


def is_one_page(text: str) -> bool:
    """Whether no second version was left in a page by joining two, and every block is closed."""
    return (
        not re.search(r"^(<{7}|>{7}) ", text, re.M) and len(re.findall("^```", text, re.M)) % 2 == 0
    )


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_page_is_one_page(page: Path):
    assert is_one_page(page.read_text())


def test_two_versions_in_a_page_are_found():
    assert is_one_page("```\none\n```\n")
    assert not is_one_page("<<<<<<< mine\none\n=======\nother\n>>>>>>> theirs\n")
    assert not is_one_page("```\none\n")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_link_leads_somewhere(page: Path):
    assert dead_links(page) == []


def test_a_dead_link_is_found(tmp_path: Path):
    page = tmp_path / "page.md"
    page.write_text("# One\n\n[gone](gone.md), [here](#one), [not here](#two)\n")
    assert dead_links(page) == ["gone.md", "#two"]

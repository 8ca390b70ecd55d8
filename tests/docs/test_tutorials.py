"""Every tutorial runs from top to bottom as it stands."""

import re
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
PAGES = sorted((ROOT / "docs" / "tutorials").glob("*.md"))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_the_page_runs(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    blocks = re.findall(r"^```python\n(.*?)^```", page.read_text(), re.M | re.S)
    assert len(blocks) >= 3
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    exec(compile("\n".join(blocks), page.name, "exec"), {"__name__": "tutorial"})

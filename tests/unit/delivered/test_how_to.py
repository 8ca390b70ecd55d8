"""The page on reading a log runs as written."""

import contextlib
import io
import re
from pathlib import Path


def test_the_example_of_the_page_prints_what_it_says(root: Path):
    text = (root / "docs" / "how-to" / "read-a-log.md").read_text()
    (block,) = re.findall(r"```python\n(.*?)```", text, re.S)
    said = io.StringIO()
    with contextlib.redirect_stdout(said):
        exec(compile(block, "read-a-log.md", "exec"), {})
    (promised,) = re.findall(r"# (.+)\n$", block)
    assert said.getvalue().strip() == promised

"""Sets a page: plain data and a template in, an accessible PDF out, the same bytes each time."""

import json
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import Any

import fontpkg_noto_sans
import typst

from leeward.exchange.pictures.plain_text import by_number

TEMPLATES = Path(__file__).parent / "data" / "templates"
FONTS = fontpkg_noto_sans.ROOT / "files"

#: Latin, Greek and Cyrillic letters and the signs our own words use: the font has them.
_KNOWN = frozenset(map(chr, (*range(0x20, 0x7F), *range(0xA1, 0xAD), *range(0xAE, 0x180)))) | set(
    "\u2068\u2069–—…‹›’“”→≥≤×\n"
)
#: Each unknown character costs a trial; a hostile text may hold every one there is.
_MOST_TRIALS = 200
_TRIAL = b'#set document(title: "trial")\n#set text(font: "Noto Sans")\n#sys.inputs.sign'


def typeset(template: str, content: dict[str, Any], made_at: datetime) -> bytes:
    """Set a page.

    Parameters
    ----------
    template : str
        File name of a bundled template.
    content : dict
        What it shows. It reaches the page as data: no text in it is read as instructions.
    made_at : datetime
        Aware time written into the document, so that equal content gives equal bytes.

    Returns
    -------
    bytes
        A PDF that keeps PDF/UA-1.
    """
    data = json.dumps(content, ensure_ascii=False)
    return _compiled(TEMPLATES / template, {"data": _settable(data)}, int(made_at.timestamp()))


def _compiled(source: Path | bytes, inputs: dict[str, str], timestamp: int) -> bytes:
    return typst.compile(
        source,
        root=TEMPLATES,
        font_paths=[FONTS],
        ignore_system_fonts=True,
        format="pdf",
        pdf_standards=["ua-1"],
        sys_inputs=inputs,
        timestamp=timestamp,
    )


def _settable(text: str) -> str:
    """Show characters no font has by their number: a blank could be taken for nothing said."""
    unknown = sorted(set(text) - _KNOWN)
    missing = [
        sign for trial, sign in enumerate(unknown) if trial >= _MOST_TRIALS or not _can_be_set(sign)
    ]
    return text.translate({ord(sign): by_number(sign) for sign in missing})


@lru_cache(maxsize=4096)
def _can_be_set(sign: str) -> bool:
    try:
        _compiled(_TRIAL, {"sign": sign}, 0)
    except typst.TypstError:
        return False
    return True

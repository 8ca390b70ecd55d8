"""The commented case file that `leeward new` writes."""

from importlib.resources import files

from leeward.exchange.bundled import bundled_names

_NAMES = {"<name of the unit>": "equipment", "<name of the policy>": "policies"}


def case_template() -> str:
    """The text of a case file to fill in.

    Returns
    -------
    str
        YAML with every field explained; a field to fill in stands in ``<...>``.
    """
    folder = files("leeward.exchange") / "data" / "templates"
    text = (folder / "case.yaml").read_text(encoding="utf-8")
    for blank, kind in _NAMES.items():
        text = text.replace(blank, f"<one of {' | '.join(bundled_names(kind))}>")
    return text

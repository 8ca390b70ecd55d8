"""Writes the JSON Schemas and docs/reference/case-file.md from the forms themselves."""

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent / "src"))

from leeward.exchange.bundled import bundled_names
from leeward.exchange.case_file import bundled_equipment, bundled_policy
from leeward.exchange.fit_file import bundled_bed
from leeward.exchange.json_schema import FORMS, json_schema
from leeward.exchange.missing_facts import FACTS
from leeward.exchange.plausible_values import (
    GREATEST_INDEX,
    LEAST_INDEX,
    MOST_STANDARD_ERRORS,
    USUAL,
    USUAL_MATTRESS,
)
from leeward.exchange.problems import field_path
from leeward.terms.units import deg_from_radians, min_from_seconds

ROOT = Path(__file__).parent.parent
PUBLISHED = ROOT / "docs" / "reference"
PACKAGED = ROOT / "src" / "leeward" / "exchange" / "data" / "schemas"
PAGE = PUBLISHED / "case-file.md"

HEAD = """# Files that people write

Written by `make format` from the forms themselves; do not edit.

A case, an equipment file, a column map, a bed sheet and a fit sheet are YAML 1.2, or JSON with
the same fields. The forms are published as JSON Schema: [case](case.schema.json),
[equipment](equipment.schema.json),
[column map](column-map.schema.json), [bed sheet](bed-sheet.schema.json),
[fit sheet](fit-sheet.schema.json). How to write a case step by step:
[write a case](../how-to/write-a-case.md).

- Units are in the field's name. Times are `22:00`, dates `2026-11-25`, moments
  `2026-11-25 09:30` on the clock of `day.time_zone`, or with an offset.
- Left and right are the person's own. `turned_to: left` means that the right side is raised.
- `22:00` and `no` are text, never a number or a truth. `true` and `false` are the only truths.
- Refused with a line number: unknown fields (the nearest known name is said), fields given twice,
  tags, more than 20 references (`*name`), more than 12 levels, more than 20 000 values, more than
  256 kB, numbers that are not finite or out of range, hidden signs that turn the direction of
  text. All problems are reported at once.
- `equipment.file` and `fitting.file` are plain names of files in the case's own folder; nothing
  else can be read.

"""


def page() -> str:
    """The whole page as text."""
    parts = [HEAD, _missing(), _usual(), _bundled()]
    shown: set[str] = set()
    for name in FORMS:
        schema = json.loads(json_schema(name))
        heading = name.replace("-", " ")
        parts.append(f"## The {heading} form\n\n{schema['description']}\n\n")
        parts.append(_table(schema, schema))
        for group in _groups(schema):
            if group in shown:
                continue
            shown.add(group)
            part = schema["$defs"][group]
            parts.append(f"### {_heading(name, group)}\n\n{part['description']}\n\n")
            parts.append(_table(part, schema))
    return "".join(parts).rstrip() + "\n"


def _missing() -> str:
    lines = ["## What leaving out means", "", "| not given | what follows |", "|---|---|"]
    lines += [f"| `{fact.field}` | {fact.consequence} |" for fact in FACTS]
    return "\n".join(lines) + "\n\n"


def _usual() -> str:
    lines = ["## Numbers that are asked about", ""]
    lines += [
        "Possible, but outside the usual range: `leeward check` asks whether it is meant.",
        "",
    ]
    lines += ["| field | usual | refused outside |", "|---|---|---|"]
    mattress = {("bed", "mattress", field): one for field, one in USUAL_MATTRESS.items()}
    for place, one in (USUAL | mattress).items():
        edges = f"{one.guardrail.least.value:g} to {one.guardrail.greatest.value:g}"
        lines.append(f"| `{field_path(place)}` | {one.usual} | {edges} |")
    lines.append(
        f"\nA breadth or depth more than {MOST_STANDARD_ERRORS:g} standard errors from the body "
        f"tables is asked about too, and a body mass index outside {LEAST_INDEX:g} to "
        f"{GREATEST_INDEX:g} kg/m²."
    )
    return "\n".join(lines) + "\n\n"


def _bundled() -> str:
    lines = ["## Units, beds and policies that come with leeward", ""]
    lines += ["All units and beds are invented.", ""]
    lines += [
        "| unit | kind | largest turn left, right | stays | pauses above |",
        "|---|---|---|---|---|",
    ]
    for name in bundled_names("equipment"):
        unit = bundled_equipment(name)
        able = unit.ability
        turns = [
            round(deg_from_radians(t)) for t in (able.largest_turn_left, able.largest_turn_right)
        ]
        stays = [round(min_from_seconds(t)) for t in (able.shortest_stay, able.longest_stay)]
        pause = able.pauses_above_backrest
        above = "never" if pause is None else f"{round(deg_from_radians(pause))}°"
        lines.append(
            f"| `{name}`: {unit.name} | {unit.geometry.kind.value} | {turns[0]}°, {turns[1]}° "
            f"| {stays[0]} to {stays[1]} min | {above} |"
        )
    lines += ["", "| bed | rails | safe working load |", "|---|---|---|"]
    for name in bundled_names("beds"):
        bed = bundled_bed(name)
        tilt = "tilt with the surface" if bed.rails_tilt else "stay on the bed"
        lines.append(
            f"| `{name}`: {bed.name} | {bed.rails.value}, {tilt} | {bed.safe_working_load:g} kg |"
        )
    lines += ["", "| policy | interval | source |", "|---|---|---|"]
    for name in bundled_names("policies"):
        policy = bundled_policy(name)
        interval = f"{round(min_from_seconds(policy.interval))} min"
        lines.append(f"| `{name}`: {policy.name} | {interval} | {policy.source} |")
    return "\n".join(lines) + "\n\n"


def _groups(schema: dict[str, Any]) -> Iterator[str]:
    # In the order in which a reader of the form meets them.
    seen: list[str] = []
    waiting = [schema]
    while waiting:
        for part in waiting.pop(0).get("properties", {}).values():
            for group in _referred(part):
                if group not in seen:
                    seen.append(group)
                    waiting.append(schema["$defs"][group])
                    yield group


def _referred(part: Any) -> Iterator[str]:
    if isinstance(part, dict):
        if "$ref" in part:
            yield part["$ref"].rsplit("/", 1)[1]
        for value in part.values():
            yield from _referred(value)
    elif isinstance(part, list):
        for value in part:
            yield from _referred(value)


def _heading(form: str, group: str) -> str:
    words = "".join(f" {c.lower()}" if c.isupper() else c for c in group.removesuffix("Fields"))
    return f"{form.replace('-', ' ')}:{words}"


def _table(part: dict[str, Any], schema: dict[str, Any]) -> str:
    needed = part.get("required", [])
    lines = ["| field | kind | meaning |", "|---|---|---|"]
    for name, field in part["properties"].items():
        meaning = field.get("description") or _description(field, schema)
        star = " (needed)" if name in needed else ""
        lines.append(f"| `{name}`{star} | {_kind(field)} | {meaning.replace('|', chr(92) + '|')} |")
    return "\n".join(lines) + "\n\n"


def _description(field: dict[str, Any], schema: dict[str, Any]) -> str:
    for group in _referred(field):
        return str(schema["$defs"][group]["description"])
    return ""


def _kind(field: dict[str, Any]) -> str:
    if "$ref" in field:
        return "group"
    for option in field.get("anyOf", ()):
        if option.get("type") != "null":
            return _kind(option)
    if "enum" in field:
        return ", ".join(f"`{word}`" for word in field["enum"])
    if field.get("type") == "array":
        return f"list of {_kind(field['items'])}"
    if field.get("type") in ("number", "integer"):
        return _number(field)
    if field.get("pattern", "").startswith("^([01]"):
        return "time of day"
    names = {"date": "date", "date-time": "date and time"}
    return names.get(
        field.get("format", ""), {"boolean": "true or false"}.get(field["type"], "text")
    )


def _number(field: dict[str, Any]) -> str:
    kind = "whole number" if field["type"] == "integer" else "number"
    low, high = field.get("minimum"), field.get("maximum")
    if low is None and "exclusiveMinimum" in field:
        kind += f" above {field['exclusiveMinimum']:g}"
        return kind if high is None else f"{kind}, at most {high:g}"
    return kind if low is None or high is None else f"{kind}, {low:g} to {high:g}"


def main() -> None:
    """Write the schemas and the page."""
    PACKAGED.mkdir(exist_ok=True)
    for name in FORMS:
        for folder in (PUBLISHED, PACKAGED):
            (folder / f"{name}.schema.json").write_text(json_schema(name), encoding="utf-8")
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()

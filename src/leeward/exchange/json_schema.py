"""The published JSON Schemas of the files that people write."""

import json
from typing import Any

from pydantic import BaseModel

from leeward.exchange.bed_sheet_schema import BedSheetFields
from leeward.exchange.case_schema import CaseFields
from leeward.exchange.column_map_file import ColumnMapFields
from leeward.exchange.correction_schema import CorrectionFields
from leeward.exchange.equipment_schema import EquipmentFields
from leeward.exchange.fit_sheet_schema import FitSheetFields

#: The forms by the name their schema is published under.
FORMS: dict[str, type[BaseModel]] = {
    "case": CaseFields,
    "equipment": EquipmentFields,
    "column-map": ColumnMapFields,
    "bed-sheet": BedSheetFields,
    "fit-sheet": FitSheetFields,
    "map-correction": CorrectionFields,
}


def json_schema(name: str) -> str:
    """The JSON Schema of one form, as published.

    Parameters
    ----------
    name : str
        One of `FORMS`.

    Returns
    -------
    str
        JSON, indented, with a line end.
    """
    schema = _without(FORMS[name].model_json_schema(), ("title", "default"))
    heading = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return json.dumps(heading | schema, indent=2, ensure_ascii=False) + "\n"


def _without(schema: Any, keywords: tuple[str, ...]) -> Any:
    # What leaving a field out means is said in words on the reference page: a default in the
    # schema would read as a value that somebody gave.
    if isinstance(schema, list):
        return [_without(entry, keywords) for entry in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        key: {name: _without(part, keywords) for name, part in value.items()}
        if key in ("properties", "$defs")
        else _without(value, keywords)
        for key, value in schema.items()
        if key not in keywords
    }

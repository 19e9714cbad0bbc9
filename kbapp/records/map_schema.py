"""The JSON Schema (2020-12) of section maps, generated from the record so that the two cannot part."""

import json
from typing import Any

from kbapp.records.section_map import SectionMap


def map_schema() -> dict[str, Any]:
    """Returns the JSON Schema of ``provebook-map/1``. What one field cannot say (sums, references) is the checker's."""
    schema = SectionMap.model_json_schema()
    schema["title"] = "Provebook section map"
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def map_schema_text() -> str:
    """Returns the schema as it stands in ``schema/map.schema.json``."""
    return json.dumps(map_schema(), indent=2, ensure_ascii=False, sort_keys=True) + "\n"

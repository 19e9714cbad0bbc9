import json

import jsonschema
import pytest

from kbapp.records.map_schema import map_schema, map_schema_text
from kbapp.resources import resource
from tests.isolation.examples import map_document, points, section
from tests.records.documents import FOLDER


def test_the_published_schema_is_the_record() -> None:
    assert (resource("schema") / "map.schema.json").read_text(encoding="utf-8") == map_schema_text()


def test_the_schema_is_a_schema_and_takes_the_example() -> None:
    jsonschema.Draft202012Validator.check_schema(map_schema())
    validator = jsonschema.Draft202012Validator(map_schema())
    assert list(validator.iter_errors(json.loads((FOLDER / "map-1-full.json").read_text(encoding="utf-8")))) == []
    assert list(validator.iter_errors(map_document([section("a")], [points("t", "a", undo="plug")]))) == []


@pytest.mark.parametrize(
    "more", [{"colour": "red"}, {"format": "provebook-map/2"}, {"version": 0}, {"not_on_map": -1}, {"system": "sails"}]
)
def test_what_the_reader_refuses_the_schema_refuses(more: dict[str, object]) -> None:
    document = {**map_document([section("a")]), **more}
    assert list(jsonschema.Draft202012Validator(map_schema()).iter_errors(document))

import pytest

from kbapp.isolation.parts import part_shares, places_of, same_part
from kbapp.records.timeline import PartEntry
from tests.isolation.examples import make_map, section

HOSE = {"id": "hose", "name": "brake hose", "also_called": ["flexi"]}
MAP = make_map(
    [
        section("lf", parts=[HOSE, {"id": "caliper", "name": "caliper", "share": 3}]),
        section("rf", parts=[HOSE]),
        {"id": "mc", "name": "Master cylinder", "prior": 1},
    ]
)


def _places(part: str, **more: object) -> dict[str, float]:
    entry = PartEntry.model_validate({"id": "e", "kind": "part", "part": part, **more})
    return {place.section: place.share for place in places_of(MAP, entry)}


@pytest.mark.parametrize(
    ("part", "more", "expected"),
    [
        ("Flexi", {}, {"lf": 0.5, "rf": 1.0}),  # many to many; without a share, as much as the mean of the others
        ("hose", {"position": "LF"}, {"lf": 0.5}),
        ("hose", {"section": "rf"}, {"rf": 1.0}),
        ("bracket", {"section": "lf"}, {"lf": 1 / 3}),  # not listed: one more beside those listed
        ("master cylinder", {"section": "mc"}, {"mc": 1.0}),  # the part is the section
        ("seal kit", {"section": "mc"}, {"mc": 0.5}),
        ("master cylinder", {}, {}),  # no section lists it
        ("hose", {"section": "nowhere"}, {}),
    ],
)
def test_where_a_part_belongs(part: str, more: dict[str, object], expected: dict[str, float]) -> None:
    assert _places(part, **more) == pytest.approx(expected)


def test_shares_inside_a_section() -> None:
    parts = [
        {"id": "p", "name": "p", "share": 50},
        {"id": "q", "name": "q", "share": 30},
        {"id": "r", "name": "r", "share": 20},
    ]
    told = make_map([section("a", parts=parts)])
    assert part_shares(told.sections[0]) == pytest.approx({"p": 0.5, "q": 0.3, "r": 0.2})
    assert part_shares(MAP.sections[2]) == {}


def test_names_of_one_part() -> None:
    assert same_part("hose", "Flexi", MAP)
    assert same_part("Hose", "hose")
    assert not same_part("hose", "flexi")
    assert not same_part("hose", "caliper", MAP)

import pytest

from kbapp.isolation.model import build
from kbapp.isolation.picture import picture
from kbapp.isolation.pinpoint import Pinpoint, pinpoint
from kbapp.records.section_map import SectionMap
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section

PARTS = [{"id": "hose", "name": "hose", "share": 1}, {"id": "caliper", "name": "caliper", "share": 3}]
OUTER = make_map(
    [section("lf", 3, parts=PARTS), section("mc", 1)],
    [points("hold", "lf")],
    nested=[{"section": "lf", "map": "inner"}],
)
INNER = make_map([section("seal"), section("bleeder")], [points("angle", "bleeder")], id="inner")


def _inside(*lines: dict[str, object], nested: dict[str, SectionMap] | None = None) -> Pinpoint:
    case = make_case(*lines)
    return pinpoint(picture(case, build(OUTER)), case, nested or {})[0]


def test_parts_share_their_section() -> None:
    found = _inside(ran("hold"))
    assert [(p.id, p.inside) for p in found.parts] == [("hose", 0.25), ("caliper", 0.75)]
    assert sum(p.share for p in found.parts) == pytest.approx(2.7 / 2.9)


def test_a_part_fitted_in_vain_leaves_the_others() -> None:
    found = {p.id: p.inside for p in _inside(ran("hold"), fitted("caliper", "lf")).parts}
    assert found["hose"] == pytest.approx(0.25 / (0.25 + 0.75 * 0.02))


def test_a_nested_map_reads_its_own_tests() -> None:
    found = _inside(ran("hold"), ran("angle"), nested={"inner": INNER})
    assert found.map == "inner"
    inside = {p.id: p.inside for p in found.parts}
    assert inside["bleeder"] == pytest.approx(0.9 / 1.1)
    assert set(inside) == {"seal", "bleeder", "not_on_map"}


def test_a_section_without_parts_has_no_inside() -> None:
    case = make_case()
    assert [p.section for p in pinpoint(picture(case, build(OUTER)), case, {})] == ["lf"]

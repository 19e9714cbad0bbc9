from kbapp.isolation.model import build
from kbapp.isolation.rigs import standing_rigs, still_on_vehicle
from tests.isolation.examples import fitted, make_case, make_map, points, ran, section

SUBSTITUTE = {"id": "clamp", "name": "clamp", "rig": "clamps", "undo": ["hose clamp, left front"], "restore_minutes": 4}
MAP = make_map(
    [section("a"), section("b")],
    [points("t", "a", rig="plugs", undo="two plugs", restore_minutes=25, substitutes=[SUBSTITUTE]), points("u", "b")],
)
MODEL = build(MAP)


def _left(*lines: dict[str, object]) -> list[tuple[str, str, float]]:
    return [(s.entry, s.what, s.restore_minutes) for s in still_on_vehicle(make_case(*lines), MODEL)]


def test_a_rig_stands_until_it_is_undone() -> None:
    assert standing_rigs(make_case(ran("t")), MODEL) == {"plugs"}
    assert standing_rigs(make_case(ran("t", undone=True)), MODEL) == set()
    assert standing_rigs(make_case(ran("t", source="reported")), MODEL) == set()
    assert standing_rigs(make_case(ran("t", substitute="clamp")), MODEL) == {"clamps"}


def test_everything_to_take_off_is_listed_with_its_minutes() -> None:
    assert _left(ran("t"), ran("u")) == [("e1", "two plugs", 25)]
    assert _left(ran("t", substitute="clamp")) == [("e1", "hose clamp, left front", 4)]
    assert _left(ran("t", undone=True)) == []


def test_an_unclear_test_leaves_its_plugs_in_too() -> None:
    assert _left(ran("t", status="unclear")) == [("e1", "two plugs", 25)]
    assert _left(ran("t", status="unable")) == []


def test_a_known_good_part_stays_until_it_is_removed() -> None:
    on = fitted("relay", purpose="temporary", position="front", labour_minutes=3)
    off = fitted("relay", stage="removed", position="front")
    assert _left(on) == [("e1", "relay", 3)]
    assert _left(on, off) == []

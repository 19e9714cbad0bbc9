import pytest

from kbapp.isolation.candidates import Choice, choices
from tests.isolation.examples import look, make_map, points, ran, section

SUBSTITUTES = [
    {"id": "clamp", "name": "clamp", "kit": ["hose clamp"], "run_minutes": 20},
    {"id": "gauge", "name": "gauge", "kit": ["tee gauge"], "setup_minutes": 1, "strength": "none"},
]
MAP = make_map(
    [section("a"), section("b"), section("base")],
    [
        points("t", "a", kit=["scan tool"], rig="scan", setup_minutes=6, restore_minutes=2, wait_minutes=30,
               substitutes=SUBSTITUTES),
        points("u", "b", rig="scan", setup_minutes=6),
        points("v", "a", good_first=["base"]),
        points("w", "base"),
    ],
)  # fmt: skip


def _options(*timeline: dict[str, object], missing: frozenset[str] = frozenset(), **more: object) -> dict[str, Choice]:
    found = look(MAP, *timeline)
    return {choice.test.id: choice for choice in choices(found.model, found.evidence, missing, **more)}  # type: ignore[arg-type]


def test_hands_on_minutes_count_restoring_and_leave_waiting_out() -> None:
    way = _options()["t"].best
    assert (way.minutes, way.wait_minutes) == (18, 30)


def test_set_up_is_counted_once_while_rigged() -> None:
    assert _options(rigs=frozenset({"scan"}))["u"].best.minutes == 10


def test_tests_already_run_leave_unclear_ones_stay() -> None:
    found = _options(ran("t"), ran("u", status="unclear"))
    assert set(found) == {"u", "v", "w"}
    assert found["u"].best.unclear


def test_missing_kit_brings_in_a_substitute_of_lower_strength() -> None:
    way = _options(missing=frozenset({"Scan Tool"}))["t"].best
    assert way.substitute is not None
    assert (way.substitute.id, way.strength, way.minutes) == ("clamp", "weak", 28)
    assert way.table[0] == pytest.approx([0.7, 0.3, 0.3, 0.3])


def test_without_any_kit_the_test_stands_with_what_is_missing() -> None:
    choice = _options(missing=frozenset({"scan tool", "hose clamp"}))["t"]
    assert choice.best.kit_missing == ("scan tool",)
    assert not choice.ready
    assert [way.substitute.id for way in choice.ways if way.substitute is not None] == ["clamp"]


def test_an_untested_base_holds_a_test_back_until_it_is_proved_good() -> None:
    assert _options()["v"].best.blocked_by == ("base",)
    assert _options()["w"].ready
    assert _options(ran("w", "no"))["v"].ready
    assert not _options(ran("w", "yes"))["v"].ready


def test_unable_by_the_shop_itself_is_remembered_by_the_caller_is_not() -> None:
    own = _options(ran("u", "", status="unable", why="plug corroded"))["u"]
    assert (own.best.unable, own.ready) == ("plug corroded", False)
    assert _options(ran("u", "", status="unable", why="no tool", source="reported"))["u"].ready
    assert _options(ran("t", "", status="unable"))["t"].best.substitute is not None


def test_a_second_test_of_a_group_tells_less() -> None:
    told = make_map(
        [section("a"), section("b")], [points("t", "a", group="g"), points("u", "a", group="g"), points("v", "a")]
    )
    found = look(told, ran("t"))
    tables = {choice.test.id: choice.best.table for choice in choices(found.model, found.evidence)}
    assert tables["u"][0, 0] / tables["u"][0, 1] < tables["v"][0, 0] / tables["v"][0, 1]

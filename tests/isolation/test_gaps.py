from kbapp.isolation.gaps import gaps
from tests.isolation.examples import look, make_map, points, ran, section

MAP = make_map([section("a", 3), section("b", 2), section("c", 1)], [points("t", "a"), points("u", "b")])


def test_what_was_not_tested_is_always_listed_with_its_reason() -> None:
    found = look(MAP, ran("u", status="unable", why="no hold command"))
    told = [(gap.section, gap.reason, gap.why) for gap in gaps(found.model, found.evidence, found.shares)]
    assert told == [("a", "not_tested", ""), ("b", "unable", "no hold command"), ("c", "no_test", "")]


def test_unclear_and_too_weak_stay_gaps() -> None:
    found = look(MAP, ran("t"), ran("t", "no"), ran("u", source="reported", substitute="x"))
    reasons = {gap.section: gap.reason for gap in gaps(found.model, found.evidence, found.shares)}
    assert reasons == {"a": "unclear", "b": "too_weak", "c": "no_test"}


def test_a_tested_section_is_no_gap() -> None:
    found = look(MAP, ran("t", "no"))
    assert "a" not in [gap.section for gap in gaps(found.model, found.evidence, found.shares)]

import pytest

from kbapp.isolation.economics import Economics
from kbapp.isolation.retrace import retrace
from tests.isolation.examples import fitted, make_case, ran
from tests.isolation.test_replay import CAUSE, MAP, SWAPPED


def test_each_line_shows_what_was_known_and_advised() -> None:
    found = retrace(SWAPPED, MAP, Economics())
    assert found is not None
    assert found.truth == "lf"
    assert [line.line for line in found.lines] == [1, 2, 3, 4]
    first, last = found.lines[0], found.lines[-1]
    assert dict(first.known)["mc"] == pytest.approx(3 / 9.5), "before any line the priors stand"
    assert first.advised is not None
    assert first.advised.kind == "test"
    assert not first.followed
    assert (first.took.cost, first.took.parts_in_vain) == (480, 1)
    assert last.known[0][0] == "lf"
    assert last.followed, "the last line repairs the section the advice named"
    assert [share for _, share in last.known] == sorted((share for _, share in last.known), reverse=True)


def test_doing_and_following_side_by_side() -> None:
    found = retrace(SWAPPED, MAP, Economics())
    assert found is not None
    assert found.expected is not None
    assert found.done.parts_in_vain == 2
    assert found.expected.cost < found.done.cost
    assert found.expected.parts_in_vain < 1


def test_lines_after_the_repair_are_not_retraced() -> None:
    case = make_case(
        ran("hold"), fitted("caliper", "lf", effect="gone"), ran("plug", "no"),
        state="proved", cause=CAUSE, map={"id": "m"},
    )  # fmt: skip
    found = retrace(case, MAP)
    assert found is not None
    assert [line.line for line in found.lines] == [1, 2]


@pytest.mark.parametrize("state", ["repaired", "came_back", "withdrawn"])
def test_any_closed_case_is_retraced(state: str) -> None:
    found = retrace(make_case(ran("hold"), state=state, map={"id": "m"}), MAP)
    assert found is not None
    assert (found.truth, found.expected) == ("", None)


def test_an_open_case_is_not() -> None:
    assert retrace(make_case(ran("hold"), map={"id": "m"}), MAP) is None


def test_a_cause_off_the_map_has_no_expectation() -> None:
    case = make_case(ran("hold", "no"), state="proved", cause={"text": "x", "section": "not_on_map"}, map={"id": "m"})
    found = retrace(case, MAP)
    assert found is not None
    assert (found.truth, found.expected) == ("not_on_map", None)

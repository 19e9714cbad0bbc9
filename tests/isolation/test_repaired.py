import pytest

from kbapp.isolation.repaired import repair_index
from tests.isolation.examples import fitted, make_case, ran

AT = "2026-06-04T{}:00+02:00"


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([ran("t"), fitted("p", effect="gone"), ran("t")], 1),
        ([ran("t"), fitted("p", effect="gone", purpose="temporary")], None),
        ([ran("t"), fitted("p", effect="gone", stage="planned")], None),
        ([ran("t"), fitted("p")], None),
    ],
)
def test_the_part_that_cured_it_is_the_repair(lines: list[dict[str, object]], expected: int | None) -> None:
    assert repair_index(make_case(*lines)) == expected


@pytest.mark.parametrize(("result", "expected"), [("passed", 1), ("failed", None), ("unclear", None)])
def test_else_a_passed_retest_marks_it(result: str, expected: int | None) -> None:
    retest = [{"id": "r", "at": AT.format("12:00"), "result": result}]
    lines = [ran("t", at=AT.format("10:00")), ran("t", at=AT.format("12:00"))]
    assert repair_index(make_case(*lines, retest=retest)) == expected


def test_a_date_alone_is_too_rough_to_order_by() -> None:
    retest = [{"id": "r", "at": "2026-06-04", "result": "passed"}]
    assert repair_index(make_case(ran("t", at="2026-06-04"), retest=retest)) is None

import pytest

from kbapp.wording.map_names import MapNames, minutes, money, percent
from tests.isolation.examples import make_map, points, section

NAMES = MapNames(make_map([section("a"), section("b")], [points("t", "a")]))


@pytest.mark.parametrize(
    ("share", "text"), [(0.0, "0 %"), (0.004, "under 1 %"), (0.744, "74 %"), (0.9996, "over 99 %"), (1.0, "100 %")]
)
def test_shares_as_a_technician_reads_them(share: float, text: str) -> None:
    assert percent(share) == text


def test_minutes_and_money_without_needless_digits() -> None:
    assert (minutes(8.0), minutes(2.5), minutes(120)) == ("8 min", "2.5 min", "120 min")
    assert (money(1234.4, "EUR"), money(9, "")) == ("1,234 EUR", "9")


def test_names_by_id_and_ids_that_are_unknown() -> None:
    assert (NAMES.section("a"), NAMES.section("not_on_map"), NAMES.section("z")) == ("A", "Not on this map", "z")
    assert (NAMES.test("t"), NAMES.test("free words")) == ("test t", "free words")
    assert (NAMES.outcome("t", "yes"), NAMES.outcome("t", "maybe"), NAMES.outcome("z", "q")) == ("yes", "maybe", "q")
    assert NAMES.sections(("a", "b")) == "A; B"

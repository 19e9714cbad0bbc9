from kbapp.isolation.mismatch import map_mismatch
from tests.isolation.examples import make_case, make_map, section

MAP = make_map([section("a")], id="brakes")


def test_a_case_of_another_map_is_named() -> None:
    (fault,) = map_mismatch(make_case(map={"id": "cooling"}), MAP)
    assert (fault.path, fault.code, fault.found, fault.expected) == ("map.id", "case_map_differs", "cooling", "brakes")


def test_a_case_without_a_map_or_with_another_version_fits() -> None:
    assert map_mismatch(make_case(), MAP) == ()
    assert map_mismatch(make_case(map={"id": "brakes", "version": 9}), MAP) == ()

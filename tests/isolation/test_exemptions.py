from typing import Any

import pytest

from tests.isolation.examples import ran
from tests.isolation.guard_cases import judged, part, rules

# The strongest warnings stand without an exemption: contradicted and repeat.
BEFORE = (
    ran("plug", "no"),
    ran("hold"),
    part("master cylinder", "mc", stage="fitted", effect="unchanged"),
    ran("scope", "no"),
)


def _said(**more: Any) -> set[str]:
    return rules(*BEFORE, part("master cylinder", "mc", **more))


def test_without_an_exemption_the_guard_speaks() -> None:
    assert {"contradicted", "unsupported", "repeat"} <= _said()


@pytest.mark.parametrize(
    ("purpose", "exemption"),
    [
        ("maintenance", {"reference": "schedule, 4 years"}),
        ("recall", {"reference": "campaign B-114"}),
        ("measured", {"value": 24.1, "limit": 24.5, "unit": "mm", "source": "maker's table"}),
        ("seal", None),
        ("damage", None),
        ("request", None),
        ("temporary", None),
    ],
)
def test_an_exemption_told_in_full_lifts_the_guard(purpose: str, exemption: dict[str, object] | None) -> None:
    assert _said(purpose=purpose, **({"exemption": exemption} if exemption else {})) == set()


@pytest.mark.parametrize(
    ("purpose", "exemption", "needs"),
    [
        ("recall", {}, "reference"),
        ("measured", {"value": 24.1, "unit": "mm", "source": "table"}, "limit"),
        ("measured", {"value": 24.1, "limit": 24.5, "unit": "mm"}, "limit"),
        ("measured", {"value": 24.5, "limit": 24.5, "unit": "mm", "source": "table"}, "limit"),
        ("set", {}, "trigger"),
    ],
)
def test_an_incomplete_exemption_lifts_nothing_and_says_what_is_missing(
    purpose: str, exemption: dict[str, object], needs: str
) -> None:
    found = judged(*BEFORE, part("master cylinder", "mc", purpose=purpose, exemption=exemption))
    said = {warning.rule: warning for warning in found.warnings}
    assert "contradicted" in said
    assert said["exemption_incomplete"].needs == needs


def test_the_bare_word_maintenance_does_not_lift_contradicted() -> None:
    assert _said(purpose="maintenance") == {"contradicted"}


def test_a_set_is_exempt_where_its_trigger_side_qualifies() -> None:
    other = part("caliper", "lf", position="RF", purpose="set")
    good = part("caliper", "lf", position="LF")
    assert rules(ran("hold"), good, other) == set()
    assert "exemption_incomplete" in rules(good, other)  # nothing points to the trigger side
    worn = {"value": 1.9, "limit": 2.0, "unit": "mm", "source": "maker's table"}
    measured = part("caliper", "lf", position="LF", purpose="measured", exemption=worn)
    assert rules(measured, other) == set()


def test_two_sides_of_a_set_cannot_excuse_each_other() -> None:
    one = part("caliper", "lf", position="LF", purpose="set")
    other = part("caliper", "lf", position="RF", purpose="set")
    assert "exemption_incomplete" in rules(ran("hold"), one, other)


def test_an_exemption_covers_its_line_only() -> None:
    exempt = part("hose", "lf", purpose="damage", stage="fitted")
    assert {"contradicted", "unsupported"} <= rules(*BEFORE, exempt, part("master cylinder", "mc"))

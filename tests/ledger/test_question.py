from typing import Any

import pytest

from tests.ledger.books import job, ledger_of

CASES = (
    job(1, opened="2025-03-01"),
    job(2, opened="2025-09-30", vehicle={"make": "Velmond", "family": "Quenby"}),
    job(3, opened=None, concern={"text": "hot", "system": "hvac_cooling", "symptoms": ["overheats"]}),
)


@pytest.mark.parametrize(
    ("question", "asked"),
    [
        ({}, 3),
        ({"system": "hvac_cooling"}, 1),
        ({"symptom": "Low  Pedal"}, 2),
        ({"make": "velmond"}, 1),
        ({"family": "Lindle"}, 2),
        ({"since": "2025-03-01"}, 2),
        ({"until": "2025-09-29"}, 1),
        ({"until": "2025-09"}, 2),
        ({"since": "2025-09", "until": "2025"}, 1),
        ({"since": "2025-04-01", "until": "2025-09-30", "family": "Quenby"}, 1),
        ({"symptom": "no such concern"}, 0),
    ],
)
def test_which_cases_are_asked_for(question: dict[str, Any], asked: int) -> None:
    assert ledger_of(*CASES, **question).asked == asked

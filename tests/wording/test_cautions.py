import pytest

from kbapp.records.vocabulary import SYSTEMS
from kbapp.wording.cautions import caution, caution_ids, caution_source, cautions_for_system

# Rules named beside a caution [M].
RULES = {
    "brake_dust": "1910.1001",
    "brake_fluid": "FMVSS 116",
    "hv_qualified": "FMVSS 305",
    "refrigerant": "609",
}


@pytest.mark.parametrize("caution_id", caution_ids())
def test_every_caution_has_a_text_and_a_source(caution_id: str) -> None:
    assert len(caution(caution_id)) > 30
    assert caution(caution_id).endswith(".")
    assert caution_source(caution_id)


@pytest.mark.parametrize(("caution_id", "rule"), RULES.items())
def test_a_rule_is_named_where_one_stands_behind_it(caution_id: str, rule: str) -> None:
    assert rule in caution_source(caution_id)


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_system_has_cautions_and_defers_to_the_maker(system: str) -> None:
    found = cautions_for_system(system)
    assert found[0] == "maker_procedure"
    assert len(found) >= 4
    assert set(found) <= set(caution_ids())


def test_an_unknown_system_has_none_and_own_words_stand_as_they_are() -> None:
    assert cautions_for_system("plumbing") == ()
    assert caution("mind the dog") == "mind the dog"
    assert caution_source("mind the dog") == ""


def test_cautions_are_translated(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KBAPP_LANG", "pseudo")
    assert all(caution(name).startswith("⟦") for name in caution_ids())


def test_no_caution_states_a_universal_time_or_torque() -> None:
    import re

    assert [c for c in caution_ids() if re.search(r"\d+\s*(min|s|Nm|N·m|bar|h)\b", caution(c))] == []

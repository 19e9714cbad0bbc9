from kbapp.isolation.guard_warning import WEIGHTS


def test_every_rule_has_its_weight() -> None:
    assert WEIGHTS["contradicted"] == WEIGHTS["repeat"] == WEIGHTS["unchanged"] == "strong"
    assert WEIGHTS["rarely_the_cause"] == "information"

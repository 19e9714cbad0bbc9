import pytest

from kbapp.packs.limits import LIMITS
from kbapp.packs.names import collisions, name_faults
from tests.packs.hostile import NAMES

HARMLESS = ("~/.bashrc", "fetch.txt", "data/cases/x.json", "data/%2e%2e/x")
DANGEROUS = [name for name in NAMES if name not in HARMLESS]


@pytest.mark.parametrize("name", DANGEROUS)
def test_dangerous_names_are_refused(name: str) -> None:
    assert list(name_faults(name, LIMITS))


@pytest.mark.parametrize(
    "name",
    [
        "bagit.txt",
        "data/cases/3b0f7c52-9a4e-4c58-8f0e-5c1d2a7e9b10.json",
        "data/files/" + "a" * 64,
        "data/console.txt",
        "data/übung.txt",
        "data/nulls.txt",
    ],
)
def test_plain_names_are_taken(name: str) -> None:
    assert list(name_faults(name, LIMITS)) == []


def test_each_fault_has_its_own_code() -> None:
    codes = {name: {fault.code for fault in name_faults(name, LIMITS)} for name in NAMES}
    assert codes["../escape.txt"] == {"pack_name_escapes"}
    assert codes["data/NUL"] == codes["data/x."] == {"pack_name_reserved"}
    assert codes["data/e\u0301"] == {"pack_name_not_nfc"}
    assert "pack_name_long" in codes["data/" + "x" * 300]


@pytest.mark.parametrize(
    ("names", "code"),
    [
        (["a", "a"], "pack_name_twice"),
        (["a", "A"], "pack_name_case"),
        (["stra\u00dfe", "STRASSE"], "pack_name_case"),
        (["k", "\u212a"], "pack_name_case"),
        (["a", "A", "a"], "pack_name_twice"),
    ],
)
def test_names_that_meet_on_some_system(names: list[str], code: str) -> None:
    assert code in {fault.code for fault in collisions(names)}


def test_different_names_do_not_meet() -> None:
    assert list(collisions(["a", "b", "a/b", "ab"])) == []

"""``kbapp pack`` and ``kbapp shop-key`` as their user calls them: two homes, two shops."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.commands.conftest import Run
from tests.packs.world import PRIVATE, document


def _file(folder: Path, value: Any) -> str:
    path = folder / "cases.json"
    path.write_text(json.dumps(value), encoding="utf-8")
    return str(path)


@pytest.fixture
def shops(run: Run, tmp_path: Path) -> tuple[str, str]:
    """Two books: the first with two cases, one with private details."""
    for name in ("one", "two"):
        from kbapp.records.case import Shop
        from kbapp.store.book import create_book

        number = "1" if name == "one" else "2"
        create_book(
            tmp_path / name, Shop(id=f"00000000-0000-4000-8000-00000000000{number}", name=f"Shop {name}")
        ).close()
    cases = [
        {
            "case": document(number="2026-0001", notes="Ask Mrs Tolland-Özer on 0171 3920043."),
            "private": PRIVATE.plain(),
        },
        {"case": document(number="2026-0002", state="repaired")},
    ]
    del cases[1]["case"]["sign_off"]
    assert run("case", "add", _file(tmp_path, cases), "--book", str(tmp_path / "one"))[0] == 0
    return str(tmp_path / "one"), str(tmp_path / "two")


def made(run: Run, book: str, out: Path, *options: str) -> dict[str, Any]:
    code, text, _ = run("pack", "make", str(out), "--review", "--json", "--book", book, *options)
    assert code == 0
    review: dict[str, Any] = json.loads(text)
    code, text, _ = run("pack", "make", str(out), "--accept", review["digest"], "--json", "--book", book, *options)
    assert code == 0
    review.update({name: value for name, value in json.loads(text).items() if name not in review})
    return review


def test_make_check_read_undo_list(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    one, two = shops
    out = tmp_path / "x.zip"
    review = made(run, one, out)
    assert {removal["kind"] for removal in review["removals"]} >= {"name", "phone", "date", "odometer"}
    assert "Tolland" not in out.read_bytes().decode("latin-1")
    code, text, _ = run("pack", "check", str(out), "--json", "--book", two)
    plan = json.loads(text)
    assert (code, plan["trust"]["state"], plan["counts"]["new"]) == (0, "unknown", 2)
    code, text, _ = run("pack", "read", str(out), "--dry-run", "--book", two)
    assert code == 0
    assert "New 2" in text
    assert json.loads(run("book", "info", "--json", "--book", two)[1])["cases"] == 0
    code, text, _ = run("pack", "read", str(out), "--json", "--book", two)
    done = json.loads(text)
    assert (code, len(done["taken"])) == (0, 2)
    assert run("look", "climbs", "traffic", "--json", "--book", two)[0] == 0
    code, text, _ = run("pack", "list", "--json", "--book", two)
    assert json.loads(text)["read"][0]["shop"] == "Shop one"
    assert run("pack", "read", str(out), "--book", two)[0] == 0
    code, text, _ = run("pack", "undo", done["pack"][:12], "--json", "--book", two)
    assert (code, len(json.loads(text)["removed"])) == (0, 2)
    assert run("pack", "undo", done["pack"][:12], "--book", two)[0] == 1


def test_the_review_shows_removals_in_their_place(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    code, text, _ = run("pack", "make", str(tmp_path / "x.zip"), "--review", "--book", shops[0])
    assert code == 0
    assert "…Ask Mrs ⟦Tolland-Özer → [name]⟧ on 0171 3920043.…" in text
    assert text.rstrip().split("\n")[-1].startswith("To write exactly this: --accept ")
    assert not (tmp_path / "x.zip").exists()


def test_select_keep_and_without(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    one, _ = shops
    review = made(run, one, tmp_path / "1.zip", "--select", "state=repaired", "--title", "Spring")
    assert [case["number"] for case in review["cases"]] == ["2026-0002"]
    review = made(run, one, tmp_path / "2.zip", "--without", "2026-0002")
    phone = next(removal["id"] for removal in review["removals"] if removal["kind"] == "phone")
    kept = made(run, one, tmp_path / "3.zip", "--case", "2026-0001", "--keep", phone)
    assert [removal["id"] for removal in kept["removals"] if removal["kept"]] == [phone]
    assert b"0171 3920043" in (tmp_path / "3.zip").read_bytes()


def test_a_plan_that_changed_is_refused(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    one, _ = shops
    review = json.loads(run("pack", "make", str(tmp_path / "x.zip"), "--review", "--json", "--book", one)[1])
    run("jot", "squeals | Pallow", "--book", one)
    code, text, err = run(
        "pack", "make", str(tmp_path / "x.zip"), "--accept", review["digest"], "--json", "--book", one
    )
    assert (code, json.loads(text)["error"]) == (1, "pack_plan_changed")
    assert "Look through them again" in err
    assert not (tmp_path / "x.zip").exists()


def test_a_damaged_pack_is_exit_code_3_with_every_fault(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    out = tmp_path / "x.zip"
    made(run, shops[0], out)
    data = bytearray(out.read_bytes())
    data[200] ^= 1
    data[1200] ^= 1
    out.write_bytes(data)
    for action in (("check",), ("read",), ("read", "--dry-run")):
        code, text, err = run("pack", action[0], str(out), *action[1:], "--json", "--book", shops[1])
        answer = json.loads(text)
        assert (code, answer["error"]) == (3, "pack_faults")
        assert len(answer["faults"]) >= 2
        assert all(fault["sentence"] in err for fault in answer["faults"])
    assert run("pack", "check", str(tmp_path / "no.zip"), "--book", shops[1])[0] == 1


def test_trust_by_fingerprint(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    one, two = shops
    made(run, one, tmp_path / "x.zip")
    shown = json.loads(run("shop-key", "show", "--json", "--book", one)[1])["fingerprint"]
    assert run("pack", "trust", *shown.split(), "--book", two)[0] == 0
    assert (
        json.loads(run("pack", "check", str(tmp_path / "x.zip"), "--json", "--book", two)[1])["trust"]["state"]
        == "trusted"
    )
    assert run("pack", "trust", shown, "--revoke", "--json", "--book", two)[0] == 0
    assert run("pack", "read", str(tmp_path / "x.zip"), "--book", two)[0] == 1
    assert run("pack", "read", str(tmp_path / "x.zip"), "--dry-run", "--book", two)[0] == 1
    assert run("pack", "trust", "12345", "--book", two)[0] == 1


def test_the_key_is_backed_up_sealed_and_restored(
    run: Run, shops: tuple[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, two = shops
    shown = json.loads(run("shop-key", "show", "--json", "--book", one)[1])
    monkeypatch.setenv("KBAPP_KEY_PASSPHRASE", "four words of ours")
    assert run("shop-key", "backup", str(tmp_path / "key.json"), "--seal", "--json", "--book", one)[0] == 0
    Path(shown["path"]).unlink()
    code, _, err = run("shop-key", "show", "--book", one)
    assert code == 1
    assert "not on this PC" in err
    assert run("pack", "make", str(tmp_path / "x.zip"), "--review", "--book", one)[0] == 1
    assert run("shop-key", "restore", str(tmp_path / "key.json"), "--book", two)[0] == 1
    assert run("shop-key", "restore", str(tmp_path / "key.json"), "--book", one)[0] == 0
    assert json.loads(run("shop-key", "show", "--json", "--book", one)[1])["sealed"] is True
    made(run, one, tmp_path / "x.zip")
    monkeypatch.setenv("KBAPP_KEY_PASSPHRASE", "wrong")
    review = json.loads(run("pack", "make", str(tmp_path / "y.zip"), "--review", "--json", "--book", one)[1])
    assert run("pack", "make", str(tmp_path / "y.zip"), "--accept", review["digest"], "--book", one)[0] == 1
    monkeypatch.setenv("KBAPP_KEY_PASSPHRASE", "four words of ours")
    assert run("shop-key", "protect", "--json", "--book", one)[0] == 0
    code, text, _ = run("shop-key", "renew", "--json", "--book", one)
    assert json.loads(text)["fingerprint"] != shown["fingerprint"]
    assert run("shop-key", "restore", str(tmp_path / "key.json"), "--book", one)[0] == 1
    assert run("shop-key", "restore", str(tmp_path / "key.json"), "--replace", "--book", one)[0] == 0


@pytest.mark.parametrize(
    "arguments",
    [
        ["make", "x.zip"],
        ["make", "x.zip", "--review", "--accept", "x"],
        ["make", "x.zip", "--review", "--select", "state"],
        ["make", "x.zip", "--review", "--select", "colour=red"],
        ["make", "x.zip", "--review", "--select", "state=sold"],
        ["read", "x.zip", "--take", "x"],
        ["trust"],
        ["undo"],
        [],
    ],
)
def test_wrong_usage_is_exit_code_2(run: Run, arguments: list[str]) -> None:
    assert run("pack", *arguments)[0] == 2


def test_the_practice_book_makes_no_packs(run: Run, practice: Path, tmp_path: Path) -> None:
    code, _, err = run("pack", "make", str(tmp_path / "x.zip"), "--review", "--book", "practice")
    assert code == 1
    assert "practice book" in err


def test_a_clash_is_settled_by_field(run: Run, shops: tuple[str, str], tmp_path: Path) -> None:
    one, two = shops
    made(run, one, tmp_path / "1.zip", "--case", "2026-0001")
    run("pack", "read", str(tmp_path / "1.zip"), "--book", two)
    from kbapp.records.case import Case
    from kbapp.store.book import open_book

    for book, field in ((one, "lesson"), (two, "withdrawn_reason")):
        with open_book(book) as opened:
            stored = opened.case("2026-0001")
            opened.save(Case.model_validate({**stored.case.plain(), field: "changed"}), stored.revision)
    made(run, one, tmp_path / "2.zip", "--case", "2026-0001")
    case_id = json.loads(run("case", "show", "2026-0001", "--json", "--book", two)[1])["case"]["id"]
    assert run("pack", "read", str(tmp_path / "2.zip"), "--book", two)[0] == 1
    code, _, err = run("pack", "read", str(tmp_path / "2.zip"), "--take", f"{case_id}=nothing", "--book", two)
    assert code == 1
    assert "lesson" in err
    assert run("pack", "read", str(tmp_path / "2.zip"), "--take", f"{case_id}=lesson", "--book", two)[0] == 0
    case = json.loads(run("case", "show", "2026-0001", "--json", "--book", two)[1])["case"]
    assert (case["lesson"], case["withdrawn_reason"]) == ("changed", "changed")

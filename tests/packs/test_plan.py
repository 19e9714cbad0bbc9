from hypothesis import given
from hypothesis import strategies as st

from kbapp.packs.entry import Lineage
from kbapp.packs.plan import Here, judge

A, B, C, D = ("a" * 64, "b" * 64, "c" * 64, "d" * 64)


def verdict(digest: str, parents: tuple[str, ...], here: Here | None, *, vouched: bool = True) -> tuple[str, str]:
    return judge(Lineage(digest=digest, parents=parents), here, vouched=vouched)


def test_what_an_incoming_version_is() -> None:
    assert verdict(A, (), None) == ("new", "")
    assert verdict(A, (), Here(1, A)) == ("here", "same")
    assert verdict(B, (A,), Here(1, A)) == ("revised", "")
    assert verdict(A, (), Here(2, B, known=(A,))) == ("here", "older")
    assert verdict(C, (A,), Here(2, B, known=(A,))) == ("clash", "edited_here")
    assert verdict(C, (), Here(2, B)) == ("clash", "edited_here")


def test_a_version_this_shop_sent_is_known_by_what_left_the_book() -> None:
    assert verdict(C, (), Here(1, A, own=True, sent=C)) == ("here", "same")
    assert verdict(D, (C,), Here(1, A, own=True, sent=C)) == ("clash", "own_case")


def test_only_a_vouched_for_key_revises() -> None:
    assert verdict(B, (A,), Here(1, A), vouched=False) == ("clash", "other_signer")


@given(
    st.lists(st.sampled_from([A, B, C, D]), unique=True),
    st.sampled_from([A, B, C, D]),
    st.sets(st.sampled_from([A, B, C])),
    st.booleans(),
)
def test_nothing_but_a_named_parent_ever_replaces_the_version_in_view(
    parents: list[str], digest: str, known: set[str], own: bool
) -> None:
    result = verdict(digest, tuple(parents), Here(1, A, known=known, own=own))[0]
    assert (result == "revised") == (A in parents and digest != A and not own)

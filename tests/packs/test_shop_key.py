import pytest

from kbapp.errors import DamageError, InputError
from kbapp.packs.shop_key import key_document, key_text, new_key, open_seed, read_key
from tests.packs.world import COPPERHILL, WEIR_LANE

SEED = bytes(range(32))


def test_a_key_without_a_passphrase() -> None:
    key = read_key(key_text(key_document(WEIR_LANE, SEED)), "x")
    assert open_seed(key) == SEED
    assert not key.needs_passphrase
    assert new_key(WEIR_LANE).public_key != key.public_key


def test_a_sealed_key_opens_with_its_passphrase_only() -> None:
    key = read_key(key_text(key_document(WEIR_LANE, SEED, "four words of ours")), "x")
    assert key.needs_passphrase
    assert SEED.hex() not in key_text(key).decode()
    assert open_seed(key, "four words of ours") == SEED
    for wrong in ("", "four words of our"):
        with pytest.raises(InputError, match="key_passphrase_wrong"):
            open_seed(key, wrong)


def test_a_sealed_key_is_bound_to_its_shop() -> None:
    key = key_document(WEIR_LANE, SEED, "words")
    with pytest.raises(InputError, match="key_passphrase_wrong"):
        open_seed(key.model_copy(update={"shop": COPPERHILL}), "words")


@pytest.mark.parametrize("data", [b"", b"{}", b"x", b"\xff", key_text(key_document(WEIR_LANE, SEED))[:-9]])
def test_what_is_no_key_file(data: bytes) -> None:
    with pytest.raises(DamageError, match="key_damaged"):
        read_key(data, "x")


def test_parts_that_do_not_belong_together() -> None:
    key = key_document(WEIR_LANE, SEED)
    for changed in ({"seed": "00" * 32}, {"seed": "zz"}, {"public_key": "0" * 64}):
        with pytest.raises(DamageError, match="key_damaged"):
            open_seed(key.model_copy(update=changed))

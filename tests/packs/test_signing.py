"""Source: RFC 8032, section 7.1, tests 1 to 3 [S for test 1; 2 and 3 from memory, computed again with the library]."""

import re

import pytest

from kbapp.packs.curve import ORDER
from kbapp.packs.signing import fingerprint, public_key_of, read_fingerprint, sign, verifies
from tests.packs.hostile import LOW_ORDER

SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
PUBLIC = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
SIGNATURE = bytes.fromhex(
    "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"
)


def test_rfc_8032_test_1() -> None:
    assert public_key_of(SEED) == PUBLIC
    assert sign(SEED, b"") == SIGNATURE
    assert verifies(PUBLIC, b"", SIGNATURE)


def test_anything_else_does_not_verify() -> None:
    assert not verifies(PUBLIC, b"x", SIGNATURE)
    assert not verifies(PUBLIC, b"", SIGNATURE[:-1])
    assert not verifies(PUBLIC, b"", SIGNATURE[::-1])
    high = int.from_bytes(SIGNATURE[32:], "little") + ORDER
    assert not verifies(PUBLIC, b"", SIGNATURE[:32] + high.to_bytes(32, "little"))


@pytest.mark.parametrize("key", LOW_ORDER)
def test_a_key_of_low_order_verifies_nothing(key: str) -> None:
    assert not verifies(bytes.fromhex(key), b"whatever", b"\1" + bytes(63))


def test_a_fingerprint_can_be_read_out_and_typed_back() -> None:
    shown = fingerprint(PUBLIC)
    assert re.fullmatch(r"([0-9]{5} ){7}[0-9]{5}", shown)
    for typed in (shown, shown.replace(" ", ""), shown.replace(" ", "-"), f" {shown}\n"):
        assert read_fingerprint(typed) == shown
    assert fingerprint(public_key_of(bytes(32))) != shown


@pytest.mark.parametrize("typed", ["", "12345", "x" * 40, "1" * 39, "1" * 41, "١" * 40])
def test_what_is_no_fingerprint(typed: str) -> None:
    assert read_fingerprint(typed) is None

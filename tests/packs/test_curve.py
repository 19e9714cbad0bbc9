"""Sources: RFC 8032 section 7.1 [S]; the encodings of low order as they are commonly listed [M]."""

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from kbapp.packs.curve import ORDER, P, is_sound_key
from tests.packs.hostile import LOW_ORDER


@pytest.mark.parametrize("key", LOW_ORDER)
def test_keys_of_low_order_and_second_names_are_refused(key: str) -> None:
    assert not is_sound_key(bytes.fromhex(key))


def test_the_library_alone_would_take_a_forgery() -> None:
    """Why the check stands: under the neutral key the signature (neutral, 0) satisfies any message."""
    Ed25519PublicKey.from_public_bytes(bytes.fromhex(LOW_ORDER[0])).verify(b"\1" + bytes(63), b"whatever")


def test_keys_people_make_are_taken() -> None:
    assert is_sound_key(bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"))
    for n in range(8):
        assert is_sound_key(Ed25519PrivateKey.from_private_bytes(bytes([n]) * 32).public_key().public_bytes_raw())


def test_a_key_with_a_low_order_part_is_refused() -> None:
    """A sound key plus a point of order two, added by x -> -x, y -> -y."""
    sound = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
    number = int.from_bytes(sound, "little")
    y = P - (number & (2**255 - 1))
    assert not is_sound_key((y | ((number >> 255) ^ 1) << 255).to_bytes(32, "little"))


@pytest.mark.parametrize("key", [b"", bytes(31), bytes(33), b"\xff" * 32, (2).to_bytes(32, "little")])
def test_what_is_no_point_is_refused(key: bytes) -> None:
    assert not is_sound_key(key)


def test_the_order_is_that_of_the_base_point() -> None:
    assert is_sound_key((4 * pow(5, -1, P) % P).to_bytes(32, "little"))  # RFC 8032, section 5.1: y = 4/5
    assert ORDER.bit_length() == 253

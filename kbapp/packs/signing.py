"""Signs and verifies with Ed25519 (RFC 8032), and names a key in figures two people can compare by phone."""

import hashlib
import re
from typing import Final

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

from kbapp.packs.curve import is_sound_key

SEED_BYTES: Final = 32
SIGNATURE_BYTES: Final = 64
_DOMAIN: Final = b"provebook shop key\n"
_GROUPS: Final = 8
_GROUP: Final = 5
_DIGITS: Final = _GROUPS * _GROUP


def public_key_of(seed: bytes) -> bytes:
    """Returns the 32 bytes of the public key that belongs to a seed."""
    return Ed25519PrivateKey.from_private_bytes(seed).public_key().public_bytes_raw()


def sign(seed: bytes, message: bytes) -> bytes:
    """Returns the 64 bytes of the signature."""
    return Ed25519PrivateKey.from_private_bytes(seed).sign(message)


def verifies(public_key: bytes, message: bytes, signature: bytes) -> bool:
    """Returns whether the signature is that of the key over the message; keys of low order verify nothing."""
    if len(signature) != SIGNATURE_BYTES or not is_sound_key(public_key):
        return False
    try:
        Ed25519PublicKey.from_public_bytes(public_key).verify(signature, message)
    except InvalidSignature:
        return False
    return True


def fingerprint(public_key: bytes) -> str:
    """Returns eight groups of five figures (132 bits of a SHA-256), to be read out and compared."""
    number = int.from_bytes(hashlib.sha256(_DOMAIN + public_key).digest(), "big") % 10**_DIGITS
    return grouped(f"{number:0{_DIGITS}}")


def grouped(figures: str) -> str:
    """Returns forty figures in groups of five."""
    return " ".join(figures[at : at + _GROUP] for at in range(0, len(figures), _GROUP))


def read_fingerprint(text: str) -> str | None:
    """Returns a fingerprint typed by a person in its settled form, or None where it is none."""
    figures = re.sub(r"[\s.\-–]", "", text)
    return grouped(figures) if len(figures) == _DIGITS and figures.isascii() and figures.isdigit() else None

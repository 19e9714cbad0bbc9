"""The shop's key: 32 secret bytes with the shop they belong to, sealed under a passphrase where one is given.

Sealing: scrypt (RFC 7914; n=2^15, r=8, p=1) makes the key of ChaCha20-Poly1305 (RFC 8439).
"""

import json
import os
from typing import Final, Literal

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt
from pydantic import ValidationError

from kbapp.errors import DamageError, InputError
from kbapp.packs.entry import Key
from kbapp.packs.signing import SEED_BYTES, fingerprint, public_key_of
from kbapp.records.base import Line, Record
from kbapp.records.case import Shop
from kbapp.records.json_text import read_json

KEY_FORMAT: Final = "provebook-shop-key/1"
_N, _R, _P = 2**15, 8, 1
_SALT: Final = 16
_NONCE: Final = 12


class KeyDocument(Record):
    """A key file: ``seed`` in the open, or ``sealed`` with the salt and nonce it needs. All in hexadecimal."""

    format: Literal["provebook-shop-key/1"]
    shop: Shop
    public_key: Key
    seed: Line = ""
    sealed: Line = ""
    salt: Line = ""
    nonce: Line = ""

    @property
    def fingerprint(self) -> str:
        """The fingerprint of the public key."""
        return fingerprint(bytes.fromhex(self.public_key))

    @property
    def needs_passphrase(self) -> bool:
        """Whether the key is sealed."""
        return not self.seed


def new_key(shop: Shop, passphrase: str = "") -> KeyDocument:
    """Returns a new key for a shop."""
    return key_document(shop, os.urandom(SEED_BYTES), passphrase)


def key_document(shop: Shop, seed: bytes, passphrase: str = "") -> KeyDocument:
    """Returns the document of a key, sealed where there is a passphrase."""
    public = public_key_of(seed).hex()
    if not passphrase:
        return KeyDocument(format=KEY_FORMAT, shop=shop, public_key=public, seed=seed.hex())
    salt, nonce = os.urandom(_SALT), os.urandom(_NONCE)
    sealed = ChaCha20Poly1305(_stretched(passphrase, salt)).encrypt(nonce, seed, _bound(shop, public))
    return KeyDocument(
        format=KEY_FORMAT, shop=shop, public_key=public, sealed=sealed.hex(), salt=salt.hex(), nonce=nonce.hex()
    )


def open_seed(key: KeyDocument, passphrase: str = "") -> bytes:
    """Returns the secret bytes.

    Raises:
        InputError: ``key_passphrase_wrong``.
        DamageError: ``key_damaged``, the parts of the file do not belong together.
    """
    try:
        seed = bytes.fromhex(key.seed) if key.seed else _unsealed(key, passphrase)
    except ValueError:
        raise DamageError("key_damaged", where="") from None
    if len(seed) != SEED_BYTES or public_key_of(seed).hex() != key.public_key:
        raise DamageError("key_damaged", where="")
    return seed


def _unsealed(key: KeyDocument, passphrase: str) -> bytes:
    salt, nonce, sealed = (bytes.fromhex(text) for text in (key.salt, key.nonce, key.sealed))
    try:
        return ChaCha20Poly1305(_stretched(passphrase, salt)).decrypt(nonce, sealed, _bound(key.shop, key.public_key))
    except InvalidTag:
        raise InputError("key_passphrase_wrong") from None


def _stretched(passphrase: str, salt: bytes) -> bytes:
    return Scrypt(salt=salt, length=32, n=_N, r=_R, p=_P).derive(passphrase.encode())


def _bound(shop: Shop, public: str) -> bytes:
    return f"{KEY_FORMAT}\n{shop.id}\n{public}".encode()


def key_text(key: KeyDocument) -> bytes:
    """Returns a key document as it stands in its file."""
    return json.dumps(key.plain(), indent=1, ensure_ascii=False).encode() + b"\n"


def read_key(data: bytes, where: str) -> KeyDocument:
    """Returns the key in a file.

    Raises:
        DamageError: ``key_damaged``.
    """
    text = read_json(data, 100_000)
    try:
        return KeyDocument.model_validate(text.value)
    except ValidationError:
        raise DamageError("key_damaged", where=where) from None

"""Which shops' keys this book trusts: pinned by the user after comparing the fingerprint, revoked by the user too."""

import json
from dataclasses import dataclass
from typing import Final, Literal

from kbapp.errors import InputError
from kbapp.packs.entry import Signer
from kbapp.packs.signing import fingerprint, read_fingerprint
from kbapp.store.book import Book

KEYS: Final = "pack_key"

TrustState = Literal["own", "trusted", "unknown", "changed", "revoked"]
KeyState = Literal["trusted", "seen", "revoked"]


@dataclass(frozen=True, slots=True)
class KnownKey:
    """A key this book has met or was told of; shop fields are empty until a pack of it was read."""

    fingerprint: str
    state: KeyState
    shop_id: str = ""
    shop: str = ""


@dataclass(frozen=True, slots=True)
class Trust:
    """How a pack's key stands. ``others``: fingerprints of other keys known for the shop it names."""

    state: TrustState
    fingerprint: str
    shop_id: str
    shop: str
    others: tuple[str, ...] = ()

    @property
    def may_be_read(self) -> bool:
        """Whether the pack may be read: not under a revoked key, nor under one in place of another."""
        return self.state not in ("revoked", "changed")


class KeyRing:
    """The keys on a book's shelf."""

    def __init__(self, book: Book, author: str) -> None:
        self._book, self._author = book, author

    def keys(self) -> tuple[KnownKey, ...]:
        """Returns every key, by fingerprint."""
        found = (json.loads(one.document) for one in self._book.all_shelved(KEYS))
        return tuple(KnownKey(one["fingerprint"], one["state"], one["shop_id"], one["shop"]) for one in found)

    def judge(self, signer: Signer, own: str) -> Trust:
        """Returns how the key of a pack stands; ``own``: the fingerprint of this shop's key, if it has one."""
        name = fingerprint(bytes.fromhex(signer.public_key))
        keys = {key.fingerprint: key for key in self.keys()}
        known = keys.get(name)
        others = tuple(
            key.fingerprint for key in keys.values() if key.shop_id == signer.shop.id and key.fingerprint != name
        )
        state: TrustState = "unknown"
        if known is not None and known.state == "revoked":
            state = "revoked"
        elif own and name == own:
            state = "own"
        elif known is not None and known.state == "trusted":
            state = "trusted" if known.shop_id in ("", signer.shop.id) else "changed"
        elif (
            others or signer.shop.id == self._book.info.shop.id or (known and known.shop_id not in ("", signer.shop.id))
        ):
            state = "changed"
        return Trust(state, name, signer.shop.id, signer.shop.name, others)

    def pin(self, typed: str) -> KnownKey:
        """Trusts a fingerprint, whether or not a pack of it was seen; a revoked one may be trusted again.

        Raises:
            InputError: ``fingerprint_wrong``.
        """
        return self._put(typed, "trusted")

    def revoke(self, typed: str) -> KnownKey:
        """Refuses a key from now on. Errors as ``pin``."""
        return self._put(typed, "revoked")

    def _put(self, typed: str, state: KeyState) -> KnownKey:
        name = read_fingerprint(typed)
        if name is None:
            raise InputError("fingerprint_wrong", found=typed)
        known = next((key for key in self.keys() if key.fingerprint == name), KnownKey(name, state))
        return self._keep(KnownKey(name, state, known.shop_id, known.shop))

    def note(self, trust: Trust) -> None:
        """Remembers whose key it is, once a pack of it was read."""
        known = next((key for key in self.keys() if key.fingerprint == trust.fingerprint), None)
        if trust.state != "own" and (known is None or not known.shop_id):
            self._keep(KnownKey(trust.fingerprint, known.state if known else "seen", trust.shop_id, trust.shop))

    def _keep(self, key: KnownKey) -> KnownKey:
        document = {"fingerprint": key.fingerprint, "state": key.state, "shop_id": key.shop_id, "shop": key.shop}
        self._book.put_shelved(KEYS, key.fingerprint.replace(" ", ""), json.dumps(document), self._author)
        return key

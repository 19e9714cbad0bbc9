"""The shop's signing key on this PC: made at first need, readable by its user alone, backed up and restored.

The book remembers the fingerprint, never the key: another PC of the shop is told to restore the key there, so that
one shop does not come to sign with two.
"""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Final

from kbapp.app.places import places
from kbapp.errors import InputError
from kbapp.packs.key_file import load_key, write_key
from kbapp.packs.shop_key import KeyDocument, key_document, new_key, open_seed
from kbapp.store.book import Book

SHOP_KEY: Final = "shop_key"

Ask = Callable[[], str]
"""Asks for the passphrase of a sealed key; an empty answer is none."""


def no_passphrase() -> str:
    """Answers for a caller nobody can be asked through."""
    return ""


class ShopKeys:
    """The key of a book's shop."""

    def __init__(self, book: Book, author: str) -> None:
        self._book, self._author = book, author

    @property
    def path(self) -> Path:
        """Where the key lies on this PC."""
        return places().data / "keys" / f"{self._book.info.shop.id}.json"

    @property
    def fingerprint(self) -> str:
        """The fingerprint of the shop's key, empty while there is none."""
        shelved = self._book.shelved(SHOP_KEY, self._book.info.shop.id)
        return str(json.loads(shelved.document)["fingerprint"]) if shelved else ""

    def own(self) -> KeyDocument:
        """Returns the shop's key, made now where the shop has none.

        Raises:
            InputError: ``key_elsewhere``, the shop signs with a key that is not on this PC.
        """
        key, known = load_key(self.path), self.fingerprint
        if key is not None and known in ("", key.fingerprint):
            self._remember(key)
            return key
        if known:
            raise InputError("key_elsewhere", fingerprint=known, path=str(self.path))
        key = new_key(self._book.info.shop)
        write_key(self.path, key)
        self._remember(key)
        return key

    def seed(self, ask: Ask = no_passphrase) -> bytes:
        """Returns the secret of the shop's key; ``ask`` gives the passphrase where it is sealed.

        Raises:
            InputError: ``key_passphrase_wrong``, or as ``own``.
        """
        key = self.own()
        return open_seed(key, ask() if key.needs_passphrase else "")

    def protect(self, passphrase: str, ask: Ask = no_passphrase) -> KeyDocument:
        """Seals the key under a passphrase, or opens it for good where the passphrase is empty."""
        key = key_document(self._book.info.shop, self.seed(ask), passphrase)
        write_key(self.path, key, replace=True)
        return key

    def backup(self, out: Path, passphrase: str = "", ask: Ask = no_passphrase) -> KeyDocument:
        """Writes the key into a file, sealed under ``passphrase`` (else as it is kept here).

        Raises:
            InputError: ``key_file_exists``.
        """
        key = self.own()
        if passphrase:
            key = key_document(self._book.info.shop, self.seed(ask), passphrase)
        write_key(out, key)
        return key

    def restore(self, file: Path, *, replace: bool = False) -> KeyDocument:
        """Takes the shop's key from a backup.

        Raises:
            InputError: ``key_of_other_shop``; ``key_differs``, the shop signs with another key by now, and ``replace``
                is not set.
            EnvironmentFault: ``file_not_read``.
        """
        key = load_key(file)
        if key is None:
            raise InputError("key_file_missing", path=str(file))
        if key.shop.id != self._book.info.shop.id:
            raise InputError("key_of_other_shop", shop=key.shop.name or key.shop.id, path=str(file))
        if key.seed:
            open_seed(key)
        if self.fingerprint not in ("", key.fingerprint) and not replace:
            raise InputError("key_differs", fingerprint=self.fingerprint, found=key.fingerprint)
        write_key(self.path, key, replace=True)
        self._remember(key)
        return key

    def renew(self) -> KeyDocument:
        """Makes a new key in place of a lost one; shops that trust the old one are told that it changed."""
        key = new_key(self._book.info.shop)
        write_key(self.path, key, replace=True)
        self._remember(key)
        return key

    def _remember(self, key: KeyDocument) -> None:
        document = json.dumps({"fingerprint": key.fingerprint, "public_key": key.public_key})
        self._book.put_shelved(SHOP_KEY, self._book.info.shop.id, document, self._author)

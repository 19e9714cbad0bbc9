"""Sentences for the codes of kbapp.store."""

from typing import Final

SENTENCES: Final[dict[str, str]] = {}

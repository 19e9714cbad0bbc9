"""Sentences for the codes of kbapp.lookup."""

from typing import Final

SENTENCES: Final[dict[str, str]] = {}

"""Sentences for the codes of kbapp.app."""

from typing import Final

SENTENCES: Final[dict[str, str]] = {}

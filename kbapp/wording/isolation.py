"""Sentences for the codes of kbapp.isolation."""

from typing import Final

SENTENCES: Final[dict[str, str]] = {}

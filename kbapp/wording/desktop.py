"""Sentences for the codes of kbapp.desktop."""

from typing import Final

SENTENCES: Final[dict[str, str]] = {}

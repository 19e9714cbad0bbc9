"""Makes text and identifiers comparable: letter case, accents, blanks and punctuation do not count."""

import unicodedata
from typing import Final

_PHONE_DIGITS: Final = 9


def fold(text: str) -> str:
    """Returns text in lower case without accents, blanks joined to one."""
    plain = unicodedata.normalize("NFKD", text.casefold())
    return " ".join("".join(char for char in plain if not unicodedata.combining(char)).split())


def plate_key(text: str) -> str:
    """Returns the letters and digits of a plate or VIN in upper case."""
    return "".join(char for char in unicodedata.normalize("NFKC", text).upper() if char.isalnum())


def phone_key(text: str) -> str:
    """Returns the last nine digits of a telephone number, so that country and trunk prefixes do not matter."""
    digits = "".join(str(unicodedata.digit(char)) for char in text if char.isdigit())
    return digits[-_PHONE_DIGITS:]


def like_escaped(text: str) -> str:
    r"""Returns text for use inside a LIKE pattern whose escape character is a backslash."""
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")

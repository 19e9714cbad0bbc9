"""Finds the data that ships with the program: schemas, migrations, practice cases, docs, translations.

They lie at the top of a clone and inside the package (``kbapp/_data``) in a wheel; this is the one place that knows.
"""

from pathlib import Path
from typing import Literal

_PACKAGE = Path(__file__).resolve().parent

ResourceName = Literal["schema", "seed_cases", "docs"]


def resource(name: ResourceName) -> Path:
    """Returns the folder of a shipped resource.

    Raises:
        FileNotFoundError: the installation is incomplete; the path that was expected is named.
    """
    for folder in (_PACKAGE / "_data" / name, _PACKAGE.parent / name):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(_PACKAGE / "_data" / name)


def locale_folder() -> Path:
    """Returns the folder of compiled translations, which may be missing."""
    return _PACKAGE / "locale"

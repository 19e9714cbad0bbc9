"""The type faces that ship with the program (all SIL Open Font License 1.1, texts beside them)."""

from pathlib import Path
from typing import Final

from PySide6.QtGui import QFontDatabase

TEXT: Final = "Atkinson Hyperlegible Next"
MONO: Final = "Atkinson Hyperlegible Mono"
SLAB: Final = "Zilla Slab"

_FOLDER: Final = Path(__file__).resolve().parent.parent / "fonts"


def load_fonts() -> tuple[str, ...]:
    """Registers every bundled face with Qt and returns the family names it gave; needs a running application."""
    families: list[str] = []
    for path in sorted(_FOLDER.glob("*.ttf")):
        number = QFontDatabase.addApplicationFont(str(path))
        families.extend(QFontDatabase.applicationFontFamilies(number))
    return tuple(dict.fromkeys(families))

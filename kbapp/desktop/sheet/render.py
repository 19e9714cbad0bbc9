"""Writes a sheet without a window: for the command line."""

import os
import sys
from pathlib import Path

from kbapp.wording.hand_back import SheetText


def write_sheet(text: SheetText, paper: str, out: Path) -> int:
    """Writes a sheet as PDF and returns how many pages it has; without a running program an offscreen one is made."""
    if "PySide6.QtWidgets" not in sys.modules:
        os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QGuiApplication

    from kbapp.desktop.sheet.drawing import write_pdf
    from kbapp.desktop.sheet.layout import lay_out
    from kbapp.desktop.theme.fonts import load_fonts

    app = QGuiApplication.instance() or QGuiApplication(["provebook"])
    load_fonts()
    pages = lay_out(text, "letter" if paper == "letter" else "a4")
    write_pdf(pages, text.title, out)
    del app
    return len(pages)

"""Starts the desktop program: the window first, the book on a worker behind it."""

import sys
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from PySide6.QtWidgets import QApplication

from kbapp import __version__
from kbapp.desktop.program import Program


def application(arguments: Sequence[str] = ()) -> QApplication:
    """Returns the running application, or a new one with the program's names."""
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(["provebook", *arguments])
    app.setApplicationName("Provebook")
    app.setApplicationVersion(__version__)
    app.setDesktopFileName("provebook")
    return app


def run(
    session_location: str, *, author: str = "", window_state: Path | None = None, settings: Path | None = None
) -> int:
    """Runs the desktop program on a book and returns its exit code.

    Args:
        session_location: a folder, a PostgreSQL address, or ``practice``.
        author: who is at the keyboard.
        window_state: the ini file of the windows; None: the user's own.
        settings: the settings file; None: the user's own.
    """
    from kbapp.app.places import places

    app = application()
    where = places()
    program = Program(
        app, session_location, author=author,
        window_state=window_state or where.window_state, settings=settings or where.settings,
    )  # fmt: skip
    hook = sys.excepthook

    def show(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if isinstance(error, KeyboardInterrupt):
            app.quit()
        elif program.windows:
            program.show_error(error)
        else:
            hook(kind, error, trace)

    sys.excepthook = show
    try:
        program.start()
        return app.exec()
    finally:
        sys.excepthook = hook
        program.close()

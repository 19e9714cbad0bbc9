"""What every screen is given, in one value."""

from collections.abc import Callable
from dataclasses import dataclass

from kbapp.desktop.open_book import OpenBook
from kbapp.desktop.preferences import Preferences
from kbapp.desktop.presenter import Presenter
from kbapp.desktop.tasks import Tasks
from kbapp.desktop.theme.theme import Theme


@dataclass(frozen=True, slots=True)
class Context:
    """Theme, work, book, errors and settings of the program, and the way from one screen to another.

    ``go`` shows another screen of the same window by its key and hands it a value (a case to read, a text to ask).
    """

    theme: Theme
    tasks: Tasks
    book: OpenBook
    presenter: Presenter
    go: Callable[[str, object], None]
    preferences: Preferences

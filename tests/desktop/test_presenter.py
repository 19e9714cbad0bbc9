import pytest
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from kbapp import __version__
from kbapp.desktop.presenter import NotePlace, Presenter
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.buttons import Button
from kbapp.errors import Cancelled, InputError
from kbapp.wording import sentence


@pytest.fixture
def place(theme: Theme, qtbot: QtBot) -> NotePlace:
    made = NotePlace(theme)
    qtbot.addWidget(made)
    return made


def _note_text(place: NotePlace) -> str:
    assert place.note is not None
    return place.note.text()


def _press(place: NotePlace, words: str) -> None:
    next(button for button in place.findChildren(Button) if button.text() == words).click()


def test_an_expected_error_is_a_sentence_on_the_page(theme: Theme, place: NotePlace) -> None:
    error = InputError("jot_without_concern")
    Presenter(theme).show(error, place)
    assert _note_text(place) == sentence(error)
    assert not place.isHidden()
    _press(place, "Close this note")
    assert place.note is None


def test_a_fault_of_ours_offers_a_report_and_shows_no_traceback(theme: Theme, place: NotePlace) -> None:
    try:
        raise KeyError("no such key")  # noqa: TRY301
    except KeyError as error:
        Presenter(theme).show(error, place)
    assert "Traceback" not in _note_text(place)
    assert "KeyError" not in _note_text(place)
    _press(place, "Copy the report")
    copied = QGuiApplication.clipboard().text()
    assert "KeyError: 'no such key'" in copied
    assert __version__ in copied


def test_what_the_user_stopped_is_no_error(theme: Theme, place: NotePlace) -> None:
    Presenter(theme).show(Cancelled(), place)
    assert place.note is None

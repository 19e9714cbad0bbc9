import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from kbapp.desktop.theme.fonts import MONO, SLAB, TEXT, load_fonts
from kbapp.desktop.theme.icons import SHAPES, icon
from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.palette import ROLES
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.theme.tokens import SizeName


def test_every_bundled_face_is_found(theme: Theme) -> None:
    assert {TEXT, MONO, SLAB} <= set(load_fonts())


def test_theme_and_size_change_live(theme: Theme, qapp: QApplication, qtbot: QtBot) -> None:
    button = QPushButton("x")
    qtbot.addWidget(button)
    button.show()
    assert button.sizeHint().height() == 44
    light = qapp.palette().color(QPalette.ColorRole.Base).name()
    with qtbot.waitSignal(theme.changed):
        theme.choose("dark")
    assert qapp.palette().color(QPalette.ColorRole.Base).name() != light
    with qtbot.waitSignal(theme.changed):
        theme.resize("across")
    assert button.sizeHint().height() == 72
    assert (theme.look.theme, theme.look.size) == ("dark", "across")


def test_choosing_the_same_again_changes_nothing(theme: Theme, qtbot: QtBot) -> None:
    with qtbot.assertNotEmitted(theme.changed):
        theme.choose("light")
        theme.resize("desk")


def test_system_choice_shows_what_the_system_shows(theme: Theme, qapp: QApplication) -> None:
    theme.choose("system")
    dark = qapp.styleHints().colorScheme() == Qt.ColorScheme.Dark
    assert theme.look.theme == ("dark" if dark else "light")


def test_palette_is_complete(theme: Theme, qapp: QApplication) -> None:
    roles = {
        role for role in QPalette.ColorRole if role not in (QPalette.ColorRole.NoRole, QPalette.ColorRole.NColorRoles)
    }
    assert roles == set(ROLES)
    disabled = qapp.palette().color(QPalette.ColorGroup.Disabled, QPalette.ColorRole.ButtonText)
    assert disabled == theme.look.colour("disabled")


@pytest.mark.parametrize("size", ["desk", "bay", "across"])
def test_type_fits_its_line(qapp: QApplication, size: SizeName) -> None:
    look = Look("light", size)
    for font in (look.font("body", 600), look.font("small"), look.mono("small"), look.font("reading")):
        assert look.measure(font).height() <= look.metrics.pitch
    assert look.measure(look.slab("head")).height() <= look.pitches(1.25)


def test_figures_stand_in_columns(qapp: QApplication) -> None:
    look = Look("light", "desk")
    even = look.measure(look.font("body", figures=True))
    assert even.horizontalAdvance("111") == pytest.approx(even.horizontalAdvance("088"))


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_every_icon_draws_something(theme: Theme, name: str) -> None:
    image = icon(theme.look, name).pixmap(36, 36).toImage()
    assert any(image.pixelColor(x, y).alpha() > 0 for x in range(image.width()) for y in range(image.height()))

"""The passphrase of the shop's key, asked for on the page where it is needed."""

from PySide6.QtWidgets import QLineEdit

from kbapp.desktop.forms.labelled import Labelled
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.fields import ValueEdit


def secret_edit(theme: Theme, name: str) -> ValueEdit:
    """Returns a field that shows dots and is remembered by nobody."""
    edit = ValueEdit(theme, name)
    edit.setEchoMode(QLineEdit.EchoMode.Password)
    return edit


def secret_field(theme: Theme, name: str) -> tuple[Labelled, ValueEdit]:
    """Returns such a field under its label, and the field itself."""
    edit = secret_edit(theme, name)
    return Labelled(theme, name, edit), edit

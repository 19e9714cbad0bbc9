"""About: the version, who made what it stands on, and the licences of what ships with it."""

import platform
from pathlib import Path
from typing import Final

import PySide6
from PySide6.QtWidgets import QWidget

from kbapp import __version__
from kbapp.desktop.context import Context
from kbapp.desktop.markdown import safe_html
from kbapp.desktop.screens import Screen
from kbapp.desktop.tasks import Control, Latest
from kbapp.desktop.theme.fonts import MONO, SLAB, TEXT
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.page_text import PageText
from kbapp.i18n import _

FONT_FOLDER: Final = Path(__file__).resolve().parents[1] / "fonts"
FONTS: Final = ((TEXT, "OFL-atkinson-next.txt"), (MONO, "OFL-atkinson-mono.txt"), (SLAB, "OFL-zilla-slab.txt"))
LIBRARIES: Final = (
    ("SQLAlchemy, Alembic, pydantic, Markdown, platformdirs, rapidfuzz, pyqtgraph", "MIT, BSD"),
    ("Whoosh (whoosh-reloaded), numpy, nh3", "BSD, MIT"),
    ("cryptography, rfc8785", "Apache 2.0, BSD"),
    ("Pillow", "MIT-CMU"),
    ("psycopg", "LGPL 3"),
)


def about_text() -> str:
    """Returns the page as Markdown, with the licences of the faces in full."""
    qt = _(
        "Qt for Python {version} (PySide6) by The Qt Company, used under the GNU Lesser General Public License 3. "
        "Qt lies beside Provebook as libraries of its own, so that you may put another build of it in their place. "
        "Its source is published at the addresses its packages name."
    ).format(version=PySide6.__version__)
    lines = [
        f"# Provebook {__version__}", _("A shop's memory of proved repairs. MIT licence."),
        f"Python {platform.python_version()}, {platform.system()} {platform.machine()}",
        "## Qt", qt,
        "## " + _("Type faces"), _("All under the SIL Open Font License 1.1, unchanged:"),
        "\n".join(f"* {name}" for name, _file in FONTS),
        "## " + _("Libraries"),
        "\n".join(f"* {names}: {licence}" for names, licence in LIBRARIES),
        "## " + _("Licence texts of the type faces"),
    ]  # fmt: skip
    for name, file in FONTS:
        lines += [f"### {name}", "```\n" + (FONT_FOLDER / file).read_text(encoding="utf-8").strip() + "\n```"]
    return "\n\n".join(lines)


class AboutPage(Screen):
    """Shows versions and licences."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("About Provebook"))
        back = Button(context.theme, _("Back"), "plain", "left")
        back.clicked.connect(lambda: self.window().leave())  # type: ignore[attr-defined]
        self.head.add(back)
        self.text = PageText(context.theme, _("Versions and licences"), grows=False)
        self.body.addWidget(self.text, 1)
        self._read = Latest(context.tasks, self)

    def arrive(self, value: object) -> None:
        """Reads the licences on a worker."""

        def work(_control: Control) -> str:
            return safe_html(about_text())

        self._read.ask(work, self.text.show_html, lambda error: self.context.presenter.show(error, self.notes))

    def first(self) -> QWidget:
        """Returns the text."""
        return self.text

"""Text to read: HTML shown on the page, in our faces, growing to its full height; it never loads anything."""

from typing import Any

from PySide6.QtCore import QByteArray, QSize, Qt, QUrl
from PySide6.QtGui import QResizeEvent, QTextDocument
from PySide6.QtWidgets import QFrame, QSizePolicy, QTextBrowser

from kbapp.desktop.theme.look import Look
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.themed import Themed


def reading_style(look: Look) -> str:
    """Returns the style sheet of a document to read; lines stand a pitch apart."""
    m, c = look.metrics, look.hex
    line = f"line-height: {m.pitch}px; -qt-line-height-type: fixed;"
    return f"""
    p, li, td, th {{ {line} }}
    p {{ margin: 0 0 {m.pitch // 2}px 0; }}
    h1 {{ font-family: 'Zilla Slab'; font-size: {m.title}pt; font-weight: 600; margin: 0 0 {m.pitch // 2}px 0; }}
    h2, h3, h4, h5, h6 {{ font-family: 'Zilla Slab'; font-size: {m.head}pt; font-weight: 600;
      margin: {m.pitch // 2}px 0 {m.pitch // 4}px 0; }}
    code, pre {{ font-family: 'Atkinson Hyperlegible Mono'; font-size: {m.small}pt; }}
    pre {{ white-space: pre-wrap; }}
    a {{ color: {c("accent")}; }}
    th {{ text-align: left; color: {c("ink2")}; font-size: {m.small}pt; padding: 0 {m.pad}px 0 0; }}
    td {{ padding: 0 {m.pad * 2}px 0 0; }}
    blockquote {{ margin: 0 0 0 {m.pad * 2}px; color: {c("ink2")}; }}
    .field {{ color: {c("ink2")}; font-size: {m.small}pt; }}
    .hit {{ font-weight: 600; background-color: {c("select")}; text-decoration: underline; }}
    """


class _DeafDocument(QTextDocument):
    """A document that loads nothing: Qt's own would still read local files when the browser refuses."""

    def loadResource(self, kind: int, name: QUrl | str) -> Any:
        """Returns nothing, without a look at network or disk."""
        return QByteArray()


class PageText(QTextBrowser, Themed):
    """Shows HTML and loads nothing, neither from the network nor from the disk."""

    def __init__(self, theme: Theme, name: str, *, grows: bool = True) -> None:
        super().__init__()
        self._html = ""
        self._grows = grows
        self.setDocument(_DeafDocument(self))
        self.setAccessibleName(name)
        self.setOpenLinks(False)
        self.setOpenExternalLinks(False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setUndoRedoEnabled(False)
        self.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
            | Qt.TextInteractionFlag.LinksAccessibleByMouse
            | Qt.TextInteractionFlag.LinksAccessibleByKeyboard
        )
        if grows:
            self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.bind(theme)

    def show_html(self, html: str) -> None:
        """Shows HTML that was cleaned before."""
        self._html = html
        self.relook()

    def relook(self) -> None:
        """Sets the text in the faces of the look."""
        document = self.document()
        document.setDocumentMargin(0)
        document.setDefaultFont(self.look.font("body"))
        document.setDefaultStyleSheet(reading_style(self.look))
        pad = self.look.metrics.pad
        self.setViewportMargins(pad + 2, pad, pad, 0)
        self.setHtml(self._html)
        self._grow()

    def _grow(self) -> None:
        if self._grows:
            tall = round(self.document().size().height())
            pitch = self.look.metrics.pitch
            self.setFixedHeight(-(-tall // pitch) * pitch + self.look.metrics.pad)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Takes the height the text has at the new width."""
        super().resizeEvent(event)
        self._grow()

    def minimumSizeHint(self) -> QSize:
        """Returns a width that never pushes a pane wider."""
        return QSize(80, self.height() if self._grows else 80)

"""A scrolling list of titled lines that shows no half line and keeps the line one stands on."""

from collections.abc import Sequence

from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.lines import Lines, LinesModel
from kbapp.desktop.widgets.title_lines import TitleDelegate, TitleLine


class TitleList(Lines):
    """Shows titled lines by key."""

    def __init__(self, theme: Theme, name: str) -> None:
        self.lines = LinesModel[TitleLine](lambda row: ". ".join(filter(None, (row.title, row.remark))))
        super().__init__(theme, name, margin=False, whole=True)
        self.lines.setParent(self)
        self.setModel(self.lines)
        self.setItemDelegate(TitleDelegate(theme, self))

    @property
    def key(self) -> str:
        """The key of the line one stands on, blank where there is none."""
        at = self.currentIndex().row()
        return self.lines.rows[at].key if 0 <= at < len(self.lines.rows) else ""

    def show_rows(self, rows: Sequence[TitleLine], key: str = "") -> None:
        """Shows other lines and stands on the one with a key (blank: the same as before) without telling anyone."""
        wanted = key or self.key
        if tuple(rows) == self.lines.rows and wanted == self.key:
            return
        self.blockSignals(True)
        if tuple(rows) != self.lines.rows:
            self.lines.replace(rows)
        place = next((n for n, row in enumerate(rows) if row.key == wanted), 0)
        if rows:
            self.pick(place)
        self.blockSignals(False)

    def key_of(self, row: int) -> str:
        """Returns the key of a line."""
        return self.lines.rows[row].key if 0 <= row < len(self.lines.rows) else ""

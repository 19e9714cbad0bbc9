"""The one style sheet, generated from a look: buttons, fields, menus, headers, scroll bars, splitters, tips."""

from kbapp.desktop.theme.look import Look


def style_sheet(look: Look) -> str:
    """Returns the style sheet of a look. Heights exclude the border in Qt: 42 + 2 makes a target of 44."""
    return "".join((_buttons(look), _fields(look), _menus(look), _bars(look), _rest(look)))


def _buttons(look: Look) -> str:
    m, c = look.metrics, look.hex
    return f"""
QPushButton, QToolButton {{ min-height: {m.row - 2}px; padding: 0 {m.pad + 4}px; border: 1px solid {c("rule_strong")};
  border-radius: 3px; background: {c("page")}; color: {c("ink")}; }}
QPushButton:hover, QToolButton:hover {{ background: {c("band")}; }}
QPushButton:pressed, QToolButton:pressed, QPushButton:checked {{ background: {c("select")}; }}
QPushButton[kind="primary"] {{ background: {c("accent")}; border-color: {c("accent")}; color: {c("on_accent")}; }}
QPushButton[kind="primary"]:hover, QPushButton[kind="primary"]:pressed {{ background: {c("accent_hi")}; }}
QPushButton[kind="primary"]:focus {{ border: 2px solid {c("page")}; min-height: {m.row - 4}px;
  padding: 0 {m.pad + 3}px; }}
QPushButton[kind="quiet"] {{ border-color: transparent; background: transparent; color: {c("accent")}; }}
QPushButton[kind="quiet"]:hover {{ border-color: {c("rule_strong")}; }}
QPushButton[kind="quiet"]:pressed {{ background: {c("select")}; }}
QPushButton[kind="danger"] {{ border-color: {c("danger")}; color: {c("danger")}; background: transparent; }}
QPushButton[kind="danger"]:hover {{ background: {c("danger_wash")}; }}
QPushButton:disabled {{ color: {c("disabled")}; border: 1px dashed {c("disabled")}; background: transparent; }}
"""


def _fields(look: Look) -> str:
    m, c = look.metrics, look.hex
    return f"""
QLineEdit {{ min-height: {m.row - 3}px; padding: 0 {m.pad}px; border: 1px solid {c("rule_strong")};
  border-bottom: 2px solid {c("ink2")}; border-radius: 0; background: {c("page")}; color: {c("ink")};
  selection-background-color: {c("select")}; selection-color: {c("ink")}; }}
QPlainTextEdit[field="true"] {{ border: 1px solid {c("rule_strong")}; border-bottom: 2px solid {c("ink2")}; }}
QLineEdit[bad="true"] {{ border: 2px solid {c("danger")}; }}
QComboBox {{ min-height: {m.row - 3}px; padding: 0 {m.pad}px; border: 1px solid {c("rule_strong")};
  border-bottom: 2px solid {c("ink2")}; border-radius: 0; background: {c("page")}; color: {c("ink")}; }}
QComboBox::drop-down {{ width: {m.icon + m.pad}px; border: 0; }}
QComboBox QAbstractItemView, QListView[popup="true"] {{ background: {c("page")}; color: {c("ink")}; outline: 0;
  border: 1px solid {c("rule_strong")}; }}
QComboBox QAbstractItemView::item, QListView[popup="true"]::item {{ min-height: {m.row}px; padding: 0 {m.pad}px; }}
QComboBox QAbstractItemView::item:selected, QListView[popup="true"]::item:selected {{
  background: {c("select")}; color: {c("ink")}; border-left: 4px solid {c("accent")}; }}
"""


def _menus(look: Look) -> str:
    m, c = look.metrics, look.hex
    return f"""
QMenu {{ background: {c("page")}; color: {c("ink")}; border: 1px solid {c("rule_strong")}; padding: 2px; }}
QMenu::item {{ min-height: {m.row}px; padding: 0 {m.pad * 3}px 0 {m.pad * 2 + m.icon}px;
  border-left: 4px solid transparent; }}
QMenu::item:selected {{ background: {c("select")}; border-left: 4px solid {c("accent")}; }}
QMenu::item:disabled {{ color: {c("disabled")}; }}
QMenu::indicator {{ width: {m.icon}px; height: {m.icon}px; left: {m.pad}px; }}
QMenu::separator {{ height: 1px; background: {c("rule")}; margin: 2px {m.pad}px; }}
"""


def _bars(look: Look) -> str:
    c, wide = look.hex, 14 if look.size == "desk" else 20
    return f"""
QScrollBar:vertical {{ background: {c("band")}; width: {wide}px; margin: 0; }}
QScrollBar:horizontal {{ background: {c("band")}; height: {wide}px; margin: 0; }}
QScrollBar::handle {{ background: {c("rule_strong")}; border-radius: 3px; min-height: 44px; min-width: 44px;
  margin: 3px; }}
QScrollBar::handle:hover {{ background: {c("accent")}; }}
QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {{
  background: none; border: 0; width: 0; height: 0; }}
QSplitter::handle {{ background: {c("desk")}; }}
QSplitter::handle:hover, QSplitter::handle:focus {{ background: {c("accent")}; }}
"""


def _rest(look: Look) -> str:
    m, c = look.metrics, look.hex
    inks = "".join(
        f'QLabel[ink="{role}"] {{ color: {c(role)}; }}\n'
        for role in ("ink", "ink2", "ink3", "danger", "caution", "accent", "good")
    )
    return f"""{inks}
QAbstractScrollArea {{ border: 0; background: {c("page")}; }}
QFrame[card="true"] {{ background: {c("page")}; border: 1px solid {c("rule_strong")}; border-radius: 4px; }}
QTableView::item {{ padding: 0 {m.pad}px; border: 0; border-bottom: 1px solid {c("rule")}; }}
QTableView::item:selected {{ background: {c("select")}; color: {c("ink")}; }}
QToolTip {{ background: {c("ink")}; color: {c("page")}; border: 0; padding: 6px; }}
QHeaderView::section {{ font-size: {m.small}pt; font-weight: 600; background: {c("band")}; color: {c("ink2")};
  border: 0; border-bottom: 1px solid {c("rule_strong")}; padding: 0 {m.pad}px; }}
"""

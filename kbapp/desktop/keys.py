"""Every key of the program, in one list: actions are made from it and the Keys page shows it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from kbapp.i18n import N_, _


@dataclass(frozen=True, slots=True)
class Key:
    """A command that has a key: its id, sequences (portable text), what it does, and the group it is shown in.

    Without ``action`` the key belongs to a control (arrows in a list) and is only told.
    """

    id: str
    sequences: tuple[str, ...]
    text: str
    group: str
    action: bool = True


_MOVE, _BENCH, _LOOK, _BOARD, _CASE, _JOT, _VIEW, _PROGRAM = (
    N_("Moving about"), N_("The Bench"), N_("Look First"), N_("Split Board"), N_("A case"), N_("Jot"), N_("View"),
    N_("Program"),
)  # fmt: skip

KEYS: Final[tuple[Key, ...]] = (
    Key("next-pane", ("F6",), N_("Go to the next pane"), _MOVE),
    Key("previous-pane", ("Shift+F6",), N_("Go to the pane before"), _MOVE),
    Key("menu", ("F10",), N_("Open the menu"), _MOVE),
    Key("tab", ("Tab", "Shift+Tab"), N_("Go to the next or the previous control"), _MOVE, action=False),
    Key("open", ("Return",), N_("Open the line that has the ring"), _MOVE, action=False),
    Key("press", ("Space",), N_("Press the button or tick the box that has the ring"), _MOVE, action=False),
    Key("question", ("Ctrl+L", "Ctrl+F"), N_("Write a question, from any screen"), _LOOK),
    Key("clear-question", ("Ctrl+Backspace",), N_("Ask something new: empty the question and its conditions"), _LOOK),
    Key("add-condition", ("Ctrl+K",), N_("Add a condition"), _LOOK),
    Key("narrow", ("Ctrl+B",), N_("Show or leave Narrow by"), _LOOK),
    Key("next-case", ("Ctrl+Down",), N_("Read the next case of the list"), _LOOK),
    Key("previous-case", ("Ctrl+Up",), N_("Read the case before"), _LOOK),
    Key("copy-case", ("Ctrl+Shift+C",), N_("Copy the case that is open for reading"), _LOOK),
    Key("ask", ("Return",), N_("Ask the question as written"), _LOOK, action=False),
    Key("remove-condition", ("Delete",), N_("Take the condition with the ring away"), _LOOK, action=False),
    Key("paste-report", ("Ctrl+Shift+V",), N_("Paste a scan report and ask with its codes"), _LOOK),
    Key("compare", ("Ctrl+D",), N_("Lay the case beside another"), _LOOK),
    Key("find-visit", ("Ctrl+P",), N_("Find a visit by plate, VIN or phone"), _BENCH),
    Key("board-test", ("Ctrl+R",), N_("Record a test, the best next one first"), _BOARD),
    Key("board-part", ("Ctrl+Shift+P",), N_("Record a part: planned, fitted or removed"), _BOARD),
    Key("board-finding", ("Ctrl+Shift+I",), N_("Record a finding"), _BOARD),
    Key("board-service", ("Ctrl+Shift+S",), N_("Record a service"), _BOARD),
    Key("board-note", ("Ctrl+Shift+T",), N_("Record a note"), _BOARD),
    Key("board-repaired", ("Ctrl+Shift+R",), N_("Say that it is repaired"), _BOARD),
    Key("board-map", ("Ctrl+Shift+M",), N_("Choose or change the section map"), _BOARD),
    Key("board-look", ("Ctrl+Shift+L",), N_("Look First with this case"), _BOARD),
    Key("board-attach", ("Ctrl+Shift+A",), N_("Attach photos, waveforms, documents"), _BOARD),
    Key("board-guard", ("Ctrl+G",), N_("See what the swap guard says"), _BOARD),
    Key("board-cases", ("Ctrl+Shift+O",), N_("Take another case in hand"), _BOARD),
    Key("board-record", ("Ctrl+Return", "Ctrl+Enter"), N_("Record the form as filled in"), _BOARD, action=False),
    Key("board-paste", ("Ctrl+V",), N_("Attach what is on the clipboard to the current line"), _BOARD, action=False),
    Key("prove", ("Ctrl+Alt+P",), N_("Lead Check: accept as proved"), _CASE),
    Key("send-back", ("Ctrl+Alt+B",), N_("Lead Check: send back"), _CASE),
    Key("save-pdf", ("Ctrl+S",), N_("Hand-Back Sheet: save as PDF"), _CASE),
    Key("undo", ("Ctrl+Z",), N_("Take the last step on the case back"), _CASE),
    Key("redo", ("Ctrl+Shift+Z", "Ctrl+Y"), N_("Do the undone step again"), _CASE),
    Key("move-line", ("Alt+Up", "Alt+Down"), N_("Move the line with the ring up or down"), _CASE, action=False),
    Key("take-line-out", ("Delete",), N_("Take the line or the suggestion with the ring out"), _CASE, action=False),
    Key("start-concern", ("Ctrl+N",), N_("Start a concern, for a call"), _JOT),
    Key("jot", ("Ctrl+J",), N_("Jot a case down"), _JOT),
    Key("record", ("Ctrl+Return", "Ctrl+Enter"), N_("Record what is written"), _JOT),
    Key("next-line", ("Return",), N_("Go on to the next line"), _JOT, action=False),
    Key("break-line", ("Shift+Return",), N_("Start a new line inside the same field"), _JOT, action=False),
    Key("size-desk", ("Ctrl+Alt+1",), N_("Size: Desk"), _VIEW),
    Key("size-bay", ("Ctrl+Alt+2",), N_("Size: Bay"), _VIEW),
    Key("size-across", ("Ctrl+Alt+3",), N_("Size: Across the bay"), _VIEW),
    Key("theme-next", ("Ctrl+Alt+T",), N_("Light, dark, as the system"), _VIEW),
    Key("wider", ("Ctrl+Alt+Right",), N_("Make the pane with the ring wider"), _VIEW),
    Key("tighter", ("Ctrl+Alt+Left",), N_("Make the pane with the ring narrower"), _VIEW),
    Key("new-window", ("Ctrl+Shift+N",), N_("Open another window on this book"), _PROGRAM),
    Key("close-window", ("Ctrl+W",), N_("Close this window"), _PROGRAM),
    Key("quit", ("Ctrl+Q",), N_("Leave Provebook"), _PROGRAM),
    Key("open-book", ("Ctrl+O",), N_("Open another book"), _PROGRAM),
    Key("settings", ("Ctrl+,",), N_("Settings"), _PROGRAM),
    Key("help", ("F1",), N_("Help on this screen"), _PROGRAM),
    Key("search-help", ("Ctrl+Shift+F",), N_("Search the help"), _PROGRAM),
    Key("keys", ("Shift+F1",), N_("All keys"), _PROGRAM),
    Key("back", ("Esc",), N_("Leave a panel, the help or the keys"), _PROGRAM),
)


def key(name: str) -> Key:
    """Returns the key with an id."""
    return next(entry for entry in KEYS if entry.id == name)


def shown(entry: Key) -> str:
    """Returns the sequences of a key as this system writes them."""
    return written(entry.sequences)


def written(sequences: tuple[str, ...]) -> str:
    """Returns sequences as this system writes them."""
    native = QKeySequence.SequenceFormat.NativeText
    return _(" or ").join(QKeySequence(sequence).toString(native) for sequence in sequences)


def screen_keys(count: int) -> tuple[tuple[str, ...], ...]:
    """Returns the sequences of the screens of the index in order: Ctrl+1 to Ctrl+9, Ctrl+0 for the tenth."""
    return tuple((f"Ctrl+{place % 10}",) if place <= 10 else () for place in range(1, count + 1))


def action(name: str, owner: QWidget, handler: Callable[[], object], text: str = "") -> QAction:
    """Returns the action of a key on a widget: it works while the focus is inside ``owner``."""
    entry = key(name)
    return bound(owner, entry.sequences, text or _(entry.text), handler)


def bound(owner: QWidget, sequences: tuple[str, ...], text: str, handler: Callable[[], object]) -> QAction:
    """Returns an action with its own sequences and words."""
    made = QAction(text, owner)
    made.setShortcuts([QKeySequence(sequence) for sequence in sequences])
    made.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
    made.triggered.connect(lambda _checked=False: handler())
    owner.addAction(made)
    return made

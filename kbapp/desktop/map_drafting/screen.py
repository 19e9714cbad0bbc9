"""Map Drafting: the shelf of maps, the editor of one, and its Dry Run."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from PySide6.QtWidgets import QFileDialog, QStackedWidget, QWidget

from kbapp.app.drafting import Draft, copied_map, empty_map
from kbapp.desktop.context import Context
from kbapp.desktop.draft_keeper import DraftKeeper
from kbapp.desktop.map_drafting.dry_run_page import DryRunPage
from kbapp.desktop.map_drafting.editor import Editor
from kbapp.desktop.map_drafting.forms import Vocabulary
from kbapp.desktop.map_drafting.shelf_page import ShelfPage
from kbapp.desktop.screens import Screen
from kbapp.desktop.widgets.buttons import Button
from kbapp.desktop.widgets.note import Note
from kbapp.errors import KbError
from kbapp.i18n import _
from kbapp.records.section_map import SectionMap
from kbapp.wording.drafting import copied_source, copied_title

if TYPE_CHECKING:
    from kbapp.app.session import Session

Loaded = tuple[tuple[SectionMap, ...], frozenset[str], Vocabulary]


class MapDrafting(Screen):
    """Three faces: shelf, editor, Dry Run."""

    def __init__(self, context: Context) -> None:
        super().__init__(context, _("Map Drafting"))
        theme = context.theme
        self._taken: frozenset[str] = frozenset()
        self._words = Vocabulary()
        self._saved = ""
        self.drafts = DraftKeeper(context.book, "map:", self)
        self.drafts.kept.connect(lambda: self.say_kept("draft"))
        self.drafts.failed.connect(self._failed)
        self.drafts.found.connect(self._offer)
        self.back_button = Button(theme, _("Back"), "plain", "left")
        self.try_button = Button(theme, _("Dry run"), "plain", "test")
        self.print_button = Button(theme, _("Print"), "plain", "print")
        self.print_button.setAccessibleName(_("Print the blank test card"))
        self.save_button = Button(theme, _("Save"), "primary", "tick")
        self.save_button.setAccessibleName(_("Save as a new version"))
        for button in (self.back_button, self.try_button, self.print_button, self.save_button):
            self.head.add(button)
        self.shelf, self.editor = ShelfPage(theme), Editor(theme)
        self.dry = DryRunPage(theme, context.tasks)
        self.faces = QStackedWidget()
        for face in (self.shelf, self.editor, self.dry):
            self.faces.addWidget(face)
        self.body.addWidget(self.faces, 1)
        self._before: QWidget = self.shelf
        self._connect()
        self._show(self.shelf)
        context.book.opened.connect(self._opened)
        if context.book.state == "open":
            self._opened()

    def _connect(self) -> None:
        shelf = self.shelf
        shelf.drawn.connect(lambda title: self._take(Draft(empty_map(title, self._taken))))
        shelf.opened.connect(lambda found: self._take(Draft(found.plain(), found.version), saved=True))
        shelf.copied.connect(self._copy)
        shelf.tried.connect(self._try)
        shelf.printed.connect(self.print_card)
        shelf.taken_off.connect(self._take_off)
        self.editor.changed.connect(self._changed)
        self.dry.failed.connect(self._failed)
        self.back_button.clicked.connect(self.leave)
        self.try_button.clicked.connect(self.dry_run)
        self.print_button.clicked.connect(lambda: self._print_draft())
        self.save_button.clicked.connect(self.save)

    # -- faces

    def _show(self, face: QWidget) -> None:
        if face is self.dry and self.faces.currentWidget() is not self.dry:
            self._before = self.editor if self.faces.currentWidget() is self.editor else self.shelf
        self.faces.setCurrentWidget(face)
        drawing = face is self.editor
        self.back_button.setVisible(face is not self.shelf)
        for button in (self.try_button, self.print_button, self.save_button):
            button.setVisible(drawing)
        self._say_head()

    def _say_head(self) -> None:
        face, draft = self.faces.currentWidget(), self.editor.draft
        if face is self.shelf or draft is None:
            self.head.set_title(_("Map Drafting"))
            self.head.set_remark(_("Maps of the shop's own, beside those that ship"))
        if face is self.editor and draft is not None:
            self.head.set_title(draft.text("title") or _("No title yet"))
            version = _("drawn on from version {n}").format(n=draft.based_on) if draft.based_on else _("not saved yet")
            self.head.set_remark(version)
        if face is self.dry and self.dry.run is not None:
            self.head.set_title(_("Dry run: {title}").format(title=self.dry.run.section_map.title))
            self.head.set_remark(_("Nothing here is recorded"))

    # -- the shelf

    def _opened(self) -> None:
        self._load()
        self.drafts.search()

    def _load(self, key: str = "") -> None:
        if self.context.book.state != "open":
            return

        def work(session: "Session", _control: object) -> Loaded:
            from kbapp.app.testable import kit_words
            from kbapp.records.symptoms import symptoms

            maps = session.all_maps()
            known = (*session.known_vehicles().families, *(family for m in maps for family in m.families))
            kit = dict.fromkeys((*kit_words(maps), *session.kit().lines()))
            words = Vocabulary(tuple(dict.fromkeys(known)), tuple(kit), tuple(s.term for s in symptoms()))
            return maps, frozenset(session.map_shelf().own()), words

        def done(found: Loaded) -> None:
            maps, own, self._words = found
            self._taken = frozenset(section_map.id for section_map in maps)
            self.shelf.show_maps(maps, own, self._words.families, key)

        self.context.book.run("read", self, work, done, self._failed)

    def _copy(self, section_map: SectionMap, family: str) -> None:
        title, source = copied_title(section_map, family), copied_source(section_map)
        self._take(Draft(copied_map(section_map, family, title, source, self._taken)))

    def _take_off(self, section_map: SectionMap) -> None:
        def work(session: "Session", _control: object) -> None:
            session.map_shelf().take_off(section_map.id)

        def done(_none: None) -> None:
            put_back = Button(self.context.theme, _("Put it back"), "plain", "undo")
            put_back.clicked.connect(lambda: self._put_back(section_map))
            fact = _("{title} is off the shelf").format(title=section_map.title)
            hint = _("Cases worked with it keep the version they were worked with.")
            self.notes.put(Note(self.context.theme, "info", "info", fact, hint, [put_back]))
            self._load()

        self.context.book.run("change", self, work, done, self._failed)

    def _put_back(self, section_map: SectionMap) -> None:
        def work(session: "Session", _control: object) -> None:
            session.map_shelf().save(section_map.plain(), section_map.version)

        def done(_none: None) -> None:
            self.notes.put(None)
            self._load(section_map.id)

        self.context.book.run("change", self, work, done, self._failed)

    # -- drawing

    def _take(self, draft: Draft, *, saved: bool = False) -> None:
        self.drafts.begin()
        self.notes.put(None)
        self._saved = draft.to_text() if saved else ""
        self._show(self.editor)
        self.editor.show_draft(draft, self._words)
        self.editor.outline.setFocus()

    def _changed(self) -> None:
        draft = self.editor.draft
        if draft is not None:
            text = draft.to_text()
            self.drafts.write("" if text == self._saved else text)
            sound = self.editor.checked.section_map is not None
            self.try_button.setEnabled(sound)
            self.print_button.setEnabled(sound)
            self.save_button.setEnabled(sound and text != self._saved)
            self._say_head()

    def save(self) -> None:
        """Puts the draft on the shelf as a new version."""
        draft = self.editor.draft
        if draft is None or self.context.book.state != "open":
            return
        document, based_on = dict(draft.document), draft.based_on

        def work(session: "Session", _control: object) -> SectionMap:
            return session.map_shelf().save(document, based_on)

        self.context.book.run("change", self, work, self._kept, self._failed)

    def _kept(self, section_map: SectionMap) -> None:
        draft = self.editor.draft
        if draft is not None:
            draft.saved(section_map)
            self._saved = draft.to_text()
        self.drafts.recorded()
        self.drafts.begin()
        self.say_kept("recorded")
        self.editor.rebuild()
        fact = _("Kept as version {n}").format(n=section_map.version)
        hint = _("New cases can be worked with it. Cases worked with an earlier version keep theirs.")
        close = Button(self.context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self.notes.put(None))
        self.notes.put(Note(self.context.theme, "tick", "good", fact, hint, [close]))
        self._load(section_map.id)

    def _offer(self, found: list[tuple[str, str]]) -> None:
        key, text = found[0]
        draft = Draft.from_text(text)
        if draft is None:
            self.drafts.throw_away(key)
            return
        take = Button(self.context.theme, _("Go on with it"), "primary")
        drop = Button(self.context.theme, _("Throw it away"), "danger")
        take.clicked.connect(lambda: self._take_up(key, text, draft))
        drop.clicked.connect(lambda: self._throw_away(key))
        fact = _("A map was drawn and not saved: {title}").format(title=draft.text("title"))
        self.notes.put(Note(self.context.theme, "map", "info", fact, "", [take, drop]))

    def _take_up(self, key: str, text: str, draft: Draft) -> None:
        self._take(draft)
        self.drafts.take_up(key, text)

    def _throw_away(self, key: str) -> None:
        self.drafts.throw_away(key)
        self.notes.put(None)

    # -- Dry Run and paper

    def dry_run(self) -> None:
        """Tries the draft dry."""
        if self.editor.checked.section_map is not None:
            self._try(self.editor.checked.section_map)

    def _try(self, section_map: SectionMap) -> None:
        self.dry.show_map(section_map)
        self._show(self.dry)
        self.dry.tests.setFocus()

    def _print_draft(self) -> None:
        section_map, piece, draft = self.editor.checked.section_map, self.editor.piece, self.editor.draft
        if section_map is not None and draft is not None:
            self.print_card(section_map, draft.text(*piece.path, "id") if piece.kind == "test" else "")

    def print_card(self, section_map: SectionMap, test_id: str) -> None:
        """Asks where the blank test card goes and writes it."""
        name = f"{'-'.join(filter(None, (section_map.id, test_id)))}.pdf"
        chosen, _kind = QFileDialog.getSaveFileName(self, _("Save the blank test card"), name, "PDF (*.pdf)")
        if chosen:
            self.write_card(Path(chosen), section_map, test_id)

    def write_card(self, path: Path, section_map: SectionMap, test_id: str) -> None:
        """Writes the blank test card on the paper of the settings: Letter with US units, else A4."""
        from kbapp.desktop.printing.test_card import write_card

        try:
            write_card(path, section_map, self.paper(), test_id)
        except KbError as error:
            self._failed(error)
            return
        fact = _("The blank test card is in {path}").format(path=path.name)
        close = Button(self.context.theme, _("Close this note"), "quiet")
        close.clicked.connect(lambda: self.notes.put(None))
        self.notes.put(Note(self.context.theme, "print", "good", fact, "", [close]))

    def paper(self) -> Literal["A4", "Letter"]:
        """Returns the paper that is printed on."""
        return "Letter" if self.context.preferences.now.units == "us" else "A4"

    def _failed(self, error: Exception) -> None:
        self.context.presenter.show(error, self.notes)

    # -- the frame's questions

    def arrive(self, value: object) -> None:
        """Takes in what was saved elsewhere; the id of a map stands on it."""
        self._load(value if isinstance(value, str) else "")

    def leave(self) -> bool:
        """Goes back to where one came from; a draft stays kept."""
        face = self.faces.currentWidget()
        if face is self.dry:
            self._show(self._before)
        elif face is self.editor:
            self.drafts.leave()
            self._show(self.shelf)
            self._load()
        self.first().setFocus()
        return face is not self.shelf

    def undo(self) -> bool:
        """Takes the last step of the draft (or the last answer) back."""
        if self.faces.currentWidget() is self.dry:
            self.dry.take_back()
            return True
        return self.faces.currentWidget() is self.editor and self.editor.undo()

    def redo(self) -> bool:
        """Does the undone step again."""
        return self.faces.currentWidget() is self.editor and self.editor.redo()

    def first(self) -> QWidget:
        """Returns the list of the face that is shown."""
        face = self.faces.currentWidget()
        return self.editor.outline if face is self.editor else self.dry.tests if face is self.dry else self.shelf.list

    def panes(self) -> tuple[QWidget, ...]:
        """Returns the panes of the face that is shown."""
        face = self.faces.currentWidget()
        if face is self.editor:
            return (self.editor.outline, self.editor.todo, *((self.editor.page,) if self.editor.page else ()))
        if face is self.dry:
            return (self.dry.tests, self.dry.share_list)
        return (self.shelf.list, self.shelf.family)

    def closing(self) -> None:
        """Keeps what is drawn."""
        self.drafts.leave()

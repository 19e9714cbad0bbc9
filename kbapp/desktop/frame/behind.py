"""The pages behind the screens of the index: reached by key or menu, left with Escape."""

from typing import Final

from kbapp.desktop.context import Context
from kbapp.desktop.screens import Screen, ScreenEntry
from kbapp.i18n import N_


def _help(context: Context) -> Screen:
    from kbapp.desktop.frame.help_page import HelpPage

    return HelpPage(context)


def _keys(context: Context) -> Screen:
    from kbapp.desktop.frame.keys_page import KeysPage

    return KeysPage(context)


def _about(context: Context) -> Screen:
    from kbapp.desktop.frame.about_page import AboutPage

    return AboutPage(context)


def _settings(context: Context) -> Screen:
    from kbapp.desktop.settings.screen import SettingsScreen

    return SettingsScreen(context)


def _welcome(context: Context) -> Screen:
    from kbapp.desktop.settings.welcome import Welcome

    return Welcome(context)


def _open_book(context: Context) -> Screen:
    from kbapp.desktop.frame.book_page import BookPage

    return BookPage(context)


def _compare(context: Context) -> Screen:
    from kbapp.desktop.reading.compare import Compare

    return Compare(context)


def _case(context: Context) -> Screen:
    from kbapp.desktop.case_form.screen import CaseScreen

    return CaseScreen(context)


def _import(context: Context) -> Screen:
    from kbapp.desktop.importing.screen import ImportScreen

    return ImportScreen(context)


def _retest(context: Context) -> Screen:
    from kbapp.desktop.lead_check.retest_page import RetestPage

    return RetestPage(context)


def _history(context: Context) -> Screen:
    from kbapp.desktop.lead_check.history_page import HistoryPage

    return HistoryPage(context)


def _sheet(context: Context) -> Screen:
    from kbapp.desktop.sheet.screen import SheetScreen

    return SheetScreen(context)


BEHIND: Final = (
    ScreenEntry("retest", "test", N_("Retest"), N_("Retest"), "lead-check.md", _retest),
    ScreenEntry("history", "clock", N_("History of a case"), N_("History"), "lead-check.md", _history),
    ScreenEntry("sheet", "sheet", N_("Hand-Back Sheet"), N_("Sheet"), "sheet.md", _sheet),
    ScreenEntry("help", "help", N_("Help"), N_("Help"), "", _help),
    ScreenEntry("keys", "keys", N_("Keys"), N_("Keys"), "window.md", _keys),
    ScreenEntry("about", "info", N_("About Provebook"), N_("About"), "guide.md", _about),
    ScreenEntry("settings", "settings", N_("Settings"), N_("Settings"), "settings.md", _settings),
    ScreenEntry("welcome", "tick", N_("First run"), N_("First run"), "settings.md", _welcome),
    ScreenEntry("open-book", "book", N_("Open another book"), N_("Books"), "window.md", _open_book),
    ScreenEntry("compare", "compare", N_("Two cases side by side"), N_("Compare"), "look-first.md", _compare),
    ScreenEntry("case", "note", N_("The case"), N_("Case"), "case.md", _case),
    ScreenEntry("import", "folder", N_("Bring old records in"), N_("Import"), "import.md", _import),
)

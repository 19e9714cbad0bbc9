"""The blank test card: a map or one test on paper, with boxes to tick and to fill in at the vehicle."""

from collections.abc import Iterable
from html import escape
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPageLayout, QPageSize, QPdfWriter, QTextDocument

from kbapp.desktop.theme.look import Look
from kbapp.errors import EnvironmentFault
from kbapp.i18n import _
from kbapp.records.section_map import MapTest, SectionMap
from kbapp.wording.board import caution_words
from kbapp.wording.map_names import MapNames, minutes

Paper = Literal["A4", "Letter"]
_SIZES = {"A4": QPageSize.PageSizeId.A4, "Letter": QPageSize.PageSizeId.Letter}
_BOX = "&#9633;"
_STYLE = """
body { font-family: 'Atkinson Hyperlegible Next'; font-size: 9.5pt; }
h1 { font-family: 'Zilla Slab'; font-size: 17pt; margin: 0 0 4pt 0; }
h2 { font-family: 'Zilla Slab'; font-size: 13pt; margin: 12pt 0 3pt 0; }
h3 { font-size: 9.5pt; margin: 6pt 0 1pt 0; }
p { margin: 0 0 2pt 0; }
td, th { padding: 4pt 6pt 4pt 6pt; font-size: 9pt; }
th { text-align: left; }
"""


def card_html(section_map: SectionMap, test_id: str = "") -> str:
    """Returns a map's card (or that of one test) as an HTML page; every text is escaped."""
    tests = [test for test in section_map.tests if test_id in ("", test.id)]
    names = MapNames(section_map)
    version = _("Section map {id}, version {n}").format(id=section_map.id, n=section_map.version)
    head = f"<h1>{escape(section_map.title)}</h1><p>{escape(version)}</p>{_blanks()}"
    head += _list(_("Cautions"), map(caution_words, section_map.cautions), "")
    head += _list(_("True before the first test"), section_map.prerequisites, _BOX)
    return head + "".join(_test(test, names) for test in tests)


def _blanks() -> str:
    fields = (_("Case"), _("Vehicle"), _("Distance"), _("Date"), _("Initials"))
    cells = "".join(f"<td>{escape(field)}<br>&nbsp;</td>" for field in fields)
    return f'<table width="100%" border="1" cellspacing="0" style="border-collapse: collapse"><tr>{cells}</tr></table>'


def _list(title: str, items: Iterable[str], mark: str) -> str:
    rows = "".join(f"<p>{mark}{'&nbsp; ' if mark else '– '}{escape(item)}</p>" for item in items)
    return f"<h3>{escape(title)}</h3>{rows}" if rows else ""


def _test(test: MapTest, names: MapNames) -> str:
    facts = [_("Kit: {kit}").format(kit=", ".join(test.kit) or _("none"))]
    facts.append(
        _("about {minutes}").format(minutes=minutes(test.setup_minutes + test.run_minutes + test.restore_minutes))
    )
    if test.qualification:
        facts.append(_("only with: {qualification}").format(qualification=test.qualification))
    parts = [f"<h2>{escape(test.name)}</h2><p>{escape(' · '.join(facts))}</p>"]
    if test.good_first:
        parts.append(_list(_("Prove good first"), [names.sections(test.good_first)], _BOX))
    parts += [
        _list(_("True before"), test.prerequisites, _BOX),
        _list(_("Cautions"), map(caution_words, test.cautions), ""),
        _list(_("Conditions"), (condition.name for condition in test.conditions), _BOX),
        _steps(test),
        _readings(test),
        _list(_("Outcome"), (*(outcome.name for outcome in test.outcomes), _("unclear"), _("unable, because:")), _BOX),
        _list(_("Off the vehicle again"), test.undo, _BOX),
    ]
    return "".join(parts)


def _steps(test: MapTest) -> str:
    rows = "".join(f"<p>{n}. {escape(step)}</p>" for n, step in enumerate(test.steps, start=1))
    return f"<h3>{escape(_('Steps'))}</h3>{rows}" if rows else ""


def _readings(test: MapTest) -> str:
    """Returns a box for each place and repeat; a test without readings has a line for what was seen."""
    if test.readings is None:
        return f"<h3>{escape(_('Seen'))}</h3><p>{'_' * 70}</p>" if test.repeats == 1 else _table([""], test.repeats, "")
    return _table(list(test.readings.places) or [""], test.repeats, test.readings.unit)


def _table(places: list[str], repeats: int, unit: str) -> str:
    title = _("Readings in {unit}").format(unit=unit) if unit else _("Readings")
    heads = "".join(f"<th>{escape(_('Repeat {n}').format(n=n))}</th>" for n in range(1, repeats + 1))
    empty = "<td>&nbsp;</td>" * repeats
    rows = "".join(f"<tr><td>{escape(place) or '&nbsp;'}</td>{empty}</tr>" for place in places)
    return (
        f"<h3>{escape(title)}</h3>"
        '<table width="100%" border="1" cellspacing="0" style="border-collapse: collapse">'
        f"<tr><th>{escape(_('Place'))}</th>{heads}</tr>{rows}</table>"
    )


def write_card(path: Path, section_map: SectionMap, paper: Paper, test_id: str = "") -> None:
    """Writes the card as PDF.

    Raises:
        EnvironmentFault: ``file_not_written``.
    """
    try:
        path.open("ab").close()
    except OSError as error:
        raise EnvironmentFault("file_not_written", path=str(path), why=error.strerror or str(error)) from None
    writer = QPdfWriter(str(path))
    writer.setResolution(96)
    writer.setPageSize(QPageSize(_SIZES[paper]))
    writer.setPageMargins(QMarginsF(15, 14, 15, 14), QPageLayout.Unit.Millimeter)
    writer.setTitle(section_map.title)
    writer.setCreator("Provebook")
    document = QTextDocument()
    document.setDefaultStyleSheet(_STYLE)
    document.setDefaultFont(Look("light", "desk").font("small"))
    document.setHtml(card_html(section_map, test_id))
    document.print_(writer)

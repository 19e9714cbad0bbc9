from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QSize, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from kbapp.app.session import Session
from kbapp.app.views import CaseView
from kbapp.desktop.reading.case_head import case_title, head_rows, spans_in
from kbapp.desktop.reading.case_text import case_text
from kbapp.desktop.reading.cautions_band import caution_texts
from kbapp.desktop.reading.content import content_of
from kbapp.desktop.reading.pane import ReadingPane
from kbapp.desktop.reading.passages import passage_html
from kbapp.desktop.theme.theme import Theme
from kbapp.lookup.question import Hit, Passage, Question, Reason
from kbapp.records.case import SignOff
from kbapp.records.vocabulary import SYSTEMS


@pytest.fixture
def found(practice: Path) -> tuple[CaseView, Hit]:
    session = Session.open("practice", follow=False)
    try:
        hit = next(hit for hit in session.look(Question(text="overheats in traffic")).hits if hit.number == "2025-0067")
        return session.case(hit.id), hit
    finally:
        session.close()


@pytest.fixture
def pane(theme: Theme, qtbot: QtBot) -> ReadingPane:
    made = ReadingPane(theme)
    qtbot.addWidget(made)
    made.resize(460, 640)
    made.show()
    return made


def test_the_head_tells_vehicle_cause_correction_and_signature(found: tuple[CaseView, Hit]) -> None:
    view, _hit = found
    rows = {row.label: row.words for row in head_rows(view)}
    assert case_title(view.case) == "2025-0067  Overheats in traffic"
    assert rows["Vehicle"] == "Brennick Drovane B B20D, 2020, 148,300 km"
    assert rows["Cause"] == "Water pump impeller slips on its shaft when warm"
    assert rows["Signed"] == "MH, lead, 11 Jul 2025, 16:10"
    assert rows["Codes"] == "P0217 stored ECM"


def test_a_case_signed_elsewhere_says_so_plainly(found: tuple[CaseView, Hit]) -> None:
    view = replace(found[0], signed_here=False)
    signed = {row.label: row.words for row in head_rows(view)}["Signed"]
    assert signed.startswith("Signed elsewhere, not by this shop's lead: MH")
    assert "Not counted in your numbers" in signed
    assert "Proved elsewhere" in case_text(view)


def test_a_cause_that_was_not_separated_is_marked(found: tuple[CaseView, Hit]) -> None:
    view = found[0]
    assert view.case.cause is not None
    mixed = view.case.model_copy(update={"cause": view.case.cause.model_copy(update={"separated": False})})
    rows = {row.label: row.words for row in head_rows(replace(view, case=mixed))}
    assert rows["Cause"].endswith("(several changes at once, not separated)")


def test_what_matched_is_marked_in_the_head(found: tuple[CaseView, Hit]) -> None:
    view, hit = found
    concern = next(row for row in head_rows(view, hit.passages) if row.label == "Concern")
    assert {concern.words[start:end] for start, end in concern.spans} & {"traffic"}
    assert spans_in("abc", "concern", (Passage("concern", "zzz", ((0, 1),)),)) == ()


def test_markdown_notes_are_shown_as_text_without_anything_live(found: tuple[CaseView, Hit], pane: ReadingPane) -> None:
    view, hit = found
    notes = "**bold** <script>x()</script> ![p](file:///etc/passwd) [out](https://example.org)"
    pane.show_case(content_of(replace(view, case=view.case.model_copy(update={"notes": notes}))), hit)
    assert "bold" in pane.notes.toPlainText()
    html = pane.notes.toHtml()
    for danger in ("script", "passwd", "example.org", "<img"):
        assert danger not in html


def test_lesson_and_notes_are_left_out_where_there_are_none(found: tuple[CaseView, Hit], pane: ReadingPane) -> None:
    view, hit = found
    pane.show_case(content_of(view), hit)
    assert pane.lesson.isVisible()
    pane.show_case(content_of(replace(view, case=view.case.model_copy(update={"lesson": "", "notes": ""}))), hit)
    assert not pane.lesson.isVisible()
    assert not pane.notes_head.isVisible()


def test_reasons_against_come_last_and_the_sum_is_the_score(found: tuple[CaseView, Hit], pane: ReadingPane) -> None:
    view, hit = found
    reasons = (Reason("evidence_against", -0.6, "fan = full_speed"), Reason("words", 1.2, "hot"), Reason("proof", 0.3))
    pane.show_case(content_of(view), replace(hit, reasons=reasons, score=0.9))
    values = [row.value for row in pane.why.lines.rows]
    assert values == [1.2, 0.3, -0.6]
    assert sum(values) == pytest.approx(0.9)


def test_the_timeline_grows_with_its_words_and_the_page_scrolls(
    found: tuple[CaseView, Hit], pane: ReadingPane, qtbot: QtBot
) -> None:
    pane.show_case(content_of(found[0]), found[1])
    qtbot.wait(20)
    wide = pane.timeline.height()
    pane.resize(QSize(330, 640))
    qtbot.wait(20)
    assert pane.timeline.height() > wide
    assert pane.timeline.bottom() == pane.timeline.height()
    assert pane.page.verticalScrollBar().maximum() > 0
    assert pane.page.horizontalScrollBar().maximum() == 0
    pane.timeline.setFocus()
    for _line in range(17):
        QTest.keyClick(pane.timeline, Qt.Key.Key_Down)
    assert pane.timeline.currentIndex().row() == 17
    rect = pane.timeline.visualRect(pane.timeline.currentIndex())
    at = pane.timeline.mapTo(pane.page.viewport(), rect.center())
    assert 0 <= at.y() <= pane.page.viewport().height()


def test_cautions_stand_beside_and_unfold(found: tuple[CaseView, Hit], pane: ReadingPane) -> None:
    pane.show_case(content_of(found[0]), found[1])
    band = pane.cautions
    assert len(band.texts()) == 1
    folded = band.height()
    band.all_button.click()
    assert band.texts() == caution_texts("hvac_cooling")
    assert any("Never open a hot cooling system" in text for text in band.texts())
    assert band.height() > folded
    assert band.accessibleDescription().count("\n") == len(band.texts()) - 1


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_system_has_cautions_of_its_own_before_the_general_one(system: str) -> None:
    texts = caution_texts(system)
    assert len(texts) >= 2
    assert "maker" in texts[-1]


def test_no_system_no_caution(pane: ReadingPane) -> None:
    assert caution_texts(None) == ()
    pane.cautions.show_system(None)
    assert not pane.cautions.isVisible()


SPAN = st.tuples(st.integers(-3, 30), st.integers(-3, 30))


@settings(max_examples=80, deadline=None)
@given(text=st.text(max_size=25), spans=st.lists(SPAN, max_size=4))
def test_passages_are_escaped_and_lose_nothing(text: str, spans: list[tuple[int, int]]) -> None:
    html = passage_html((Passage("lesson", text, tuple(spans)),))
    inner = html.split("&nbsp; ", 1)[1].removesuffix("</p>")
    bare = inner.replace('<span class="hit">', "").replace("</span>", "").replace("<br>", "\n")
    assert "<" not in bare
    assert unescape(bare) == text


def test_matches_are_marked() -> None:
    html = passage_html((Passage("lesson", "a <b> hot", ((6, 9),)),))
    assert "a &lt;b&gt; " in html
    assert '<span class="hit">hot</span>' in html


def test_copying_a_signed_case_tells_every_line(found: tuple[CaseView, Hit]) -> None:
    view, _hit = found
    text = case_text(view)
    assert text.count("\n") > 60
    assert " 18  Retest: Radiator spread, as line 8 [Passed]" in text
    unsigned = view.case.model_copy(update={"sign_off": SignOff(by="MH")})
    assert "Signed: MH" in case_text(replace(view, case=unsigned))

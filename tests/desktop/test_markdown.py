from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QUrl
from PySide6.QtGui import QTextDocument
from pytestqt.qtbot import QtBot

from kbapp.desktop.markdown import safe_html
from kbapp.desktop.theme.theme import Theme
from kbapp.desktop.widgets.page_text import PageText

HOSTILE = (
    "<script>alert(1)</script>x", '<img src="file:///etc/passwd" onerror="x()">x', "![x](https://example.org/a.png)x",
    '<a href="javascript:x()">x</a>', "[x](javascript:x())", '<iframe src="https://example.org"></iframe>x',
    '<p style="background:url(https://example.org/a.png)">x</p>', '<link rel="stylesheet" href="https://example.org/a.css">x',
    "[x](file:///etc/passwd)", "<svg onload=x()></svg>x", '<object data="x"></object>x', "[x]: https://example.org\n[x]",
)  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("inner_links", [False, True])
def test_nothing_that_loads_links_or_runs_gets_through(text: str, inner_links: bool) -> None:
    html = safe_html(text, inner_links=inner_links)
    assert "x" in html
    for danger in ("<script", "<img", "javascript:", "file:", "http", "onerror", "onload", "style=", "<iframe", "<svg"):
        assert danger not in html


def test_plain_marks_of_text_stay() -> None:
    html = safe_html("## Split\n\n- fan **good**\n\n| a | b |\n|---|---|\n| 1 | 2 |\n")
    for mark in ("<h2>", "<li>", "<strong>good</strong>", "<td>1</td>"):
        assert mark in html


def test_help_pages_may_point_to_each_other_and_nowhere_else() -> None:
    html = safe_html("[maps](maps.md) [out](https://example.org/maps.md)", inner_links=True)
    assert 'href="maps.md"' in html
    assert "example.org" not in html
    assert "href" not in safe_html("[maps](maps.md)")


@settings(max_examples=80, deadline=None)
@given(text=st.text(alphabet=st.sampled_from(list("ab<>\"'/=![]()#*`|&;:-\n ")), max_size=120))
def test_any_text_is_rendered_without_attributes(text: str) -> None:
    html = safe_html(text)
    assert "<img" not in html
    assert " href=" not in html
    assert " src=" not in html


def test_the_page_loads_nothing_at_all(theme: Theme, qtbot: QtBot, tmp_path: Path) -> None:
    secret = tmp_path / "secret.html"
    secret.write_text("<p>secret</p>", encoding="utf-8")
    url = QUrl.fromLocalFile(str(secret))
    page = PageText(theme, "page")
    qtbot.addWidget(page)
    for kind in QTextDocument.ResourceType:
        assert not page.document().resource(kind.value, url)
        assert not page.document().resource(kind.value, QUrl("data:text/plain,secret"))
    page.setSource(url)
    page.setHtml(f'<img src="{url.toString()}"><link rel="stylesheet" href="{url.toString()}">')
    page.grab()
    assert "secret" not in page.toPlainText()

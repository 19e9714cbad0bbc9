"""The passages that matched, as HTML with the matches marked; every character of a case is escaped."""

from html import escape

from kbapp.i18n import _
from kbapp.lookup.question import Passage
from kbapp.wording.case_words import plain_words


def passage_html(passages: tuple[Passage, ...]) -> str:
    """Returns the passages, a paragraph each: the field's name, then the text with its matches marked."""
    return "".join(
        f'<p><span class="field">{escape(_field(passage.field))}</span>&nbsp; {_marked(passage)}</p>'
        for passage in passages
    )


def _field(name: str) -> str:
    known = {
        "concern": _("Concern"), "cause": _("Cause"), "correction": _("Correction"), "lesson": _("Lesson"),
        "notes": _("Notes"), "timeline": _("Timeline"), "parts": _("Parts"), "tests": _("Tests"),
        "symptoms": _("Symptoms"), "codes": _("Codes"), "vehicle": _("Vehicle"), "text": _("Text"),
    }  # fmt: skip
    return known.get(name, plain_words(name))


def _marked(passage: Passage) -> str:
    out, at = [], 0
    for start, end in sorted(passage.spans):
        if start < at or end > len(passage.text) or start >= end:
            continue  # overlapping or outside: what is already marked stands
        out.append(escape(passage.text[at:start]))
        out.append(f'<span class="hit">{escape(passage.text[start:end])}</span>')
        at = end
    out.append(escape(passage.text[at:]))
    return "".join(out).replace("\n", "<br>")

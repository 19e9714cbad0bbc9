"""What a suggestion would do, in words."""

from kbapp.app.suggestions import Suggestion
from kbapp.i18n import _
from kbapp.wording.case_words import plain_words, readings_words
from kbapp.wording.form_words import field_words
from kbapp.wording.terms import term


def suggestion_words(suggestion: Suggestion) -> str:
    """Returns what taking a suggestion over puts into the case."""
    if suggestion.kind == "symptom":
        return _("Symptom: {term}").format(term=suggestion.value)
    if suggestion.kind == "code":
        code = " ".join(filter(None, (suggestion.value, suggestion.status, suggestion.module)))
        return _("Trouble code: {code}").format(code=code)
    if suggestion.kind == "vehicle":
        field = field_words(f"vehicle.{suggestion.field}")
        return _("{field}: {value}").format(field=field, value=suggestion.value)
    if suggestion.kind == "part":
        part = " ".join(filter(None, (plain_words(suggestion.value), term("position", suggestion.position))))
        if suggestion.effect is None:
            return _("Part fitted: {part}").format(part=part)
        return _("Part fitted: {part}, {effect}").format(part=part, effect=term("effect", suggestion.effect).lower())
    if suggestion.kind == "correction_part":
        part = " ".join(filter(None, (suggestion.value, term("position", suggestion.position))))
        return _("Part of the correction: {part}").format(part=part)
    if suggestion.kind == "reading":
        words = _("Test: {test}, {readings}")
        return words.format(test=plain_words(suggestion.value), readings=readings_words(suggestion.readings))
    return _("VIN: move it to the private record")


def passage_words(suggestion: Suggestion) -> str:
    """Returns the words a suggestion was read from."""
    return _("from “{words}”").format(words=" ".join(suggestion.words.split())[:160])

"""The one catalogue of sentences: makes an error's or a fault's code and values into what a person reads."""

from collections.abc import Mapping
from typing import Final

from kbapp.errors import KbError
from kbapp.i18n import _
from kbapp.records.fault import DocumentFaults, Fault, shorten
from kbapp.wording import app, desktop, isolation, lookup, packs, records, store

_CATALOGUE: Final[Mapping[str, str]] = {
    **records.SENTENCES, **isolation.SENTENCES, **store.SENTENCES, **lookup.SENTENCES, **packs.SENTENCES, **app.SENTENCES, **desktop.SENTENCES,
}  # fmt: skip


def known_codes() -> frozenset[str]:
    """Returns every code that has a sentence."""
    return frozenset(_CATALOGUE)


def _fill(code: str, values: Mapping[str, object]) -> str:
    template = _(_CATALOGUE.get(code, _CATALOGUE["unworded"]))
    safe = {key: shorten(value, 200) if isinstance(value, str) else value for key, value in values.items()}
    return template.format_map(_Values({"code": code, **safe}))


class _Values(dict[str, object]):
    def __missing__(self, key: str) -> str:
        return f"({key})"


def fault_sentence(fault: Fault) -> str:
    """Returns one sentence for a fault of a document: where, what was found, what is expected."""
    place = fault.path or _("The document")
    expected = records.expected_words(fault.code, fault.expected)
    return _fill(fault.code, {"path": place, "found": fault.found, "expected": expected})


def sentence(error: KbError) -> str:
    """Returns the sentence for an error; the faults of a document follow it, a line each."""
    if isinstance(error, DocumentFaults):
        head = records.faults_head(len(error.faults), shorten(error.source, 200))
        return "\n".join([head, *(f"  {fault_sentence(fault)}" for fault in error.faults)])
    if error.code == "pack_faults":
        head = packs.pack_faults_head(len(faults_in(error)), shorten(error.values.get("source", ""), 200))
        return "\n".join([head, *(f"  {fault_sentence(fault)}" for fault in faults_in(error))])
    return _fill(error.code, error.values)


def faults_in(error: KbError) -> tuple[Fault, ...]:
    """Returns the faults an error carries, none for most."""
    faults = getattr(error, "faults", ())
    return tuple(fault for fault in faults if isinstance(fault, Fault))

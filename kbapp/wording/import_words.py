"""The fields an import can feed, in words."""

from collections.abc import Mapping
from typing import Final

from kbapp.i18n import N_, _

IMPORT_FIELDS: Final[Mapping[str, str]] = {
    "concern": N_("Concern"), "number": N_("Number"), "opened": N_("Date"), "vehicle": N_("Vehicle in one line"),
    "make": N_("Make"), "family": N_("Family"), "generation": N_("Generation"), "model_year": N_("Model year"),
    "engine": N_("Engine"), "odometer": N_("Distance driven"), "system": N_("System"), "symptoms": N_("Symptoms"),
    "codes": N_("Trouble codes"), "parts_tried": N_("Parts fitted"), "tried": N_("What was tried"),
    "split": N_("What split it"), "cause": N_("Cause"), "fixed": N_("What fixed it"), "lesson": N_("Lesson"),
    "notes": N_("Notes"), "customer": N_("Customer (private)"), "phone": N_("Phone (private)"),
    "plate": N_("Plate (private)"), "vin": N_("VIN (private)"), "order_number": N_("Order number (private)"),
}  # fmt: skip


def import_field_words(field: str) -> str:
    """Returns a field in words."""
    return _(IMPORT_FIELDS[field])


def import_field_terms() -> tuple[tuple[str, str], ...]:
    """Returns every field with its words."""
    return tuple((field, _(words)) for field, words in IMPORT_FIELDS.items())

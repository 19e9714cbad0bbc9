"""What a question asks: its words as concepts, and concerns, codes and vehicle, stated or recognised in the text."""

from dataclasses import dataclass
from typing import Final

from kbapp.lookup import weights
from kbapp.lookup.concepts import Concepts, resolve
from kbapp.lookup.document import plain_code
from kbapp.lookup.evidence import Result
from kbapp.lookup.parse import Reading, read
from kbapp.lookup.question import Question
from kbapp.lookup.synonyms import NO_TERMS, Table, ambiguous, named_concerns
from kbapp.lookup.told import told_parts, told_results
from kbapp.lookup.vehicles import Known, VehicleNames
from kbapp.lookup.view import View

_CONCERN_TEXT: Final = 1000
_FEWEST_TOLD: Final = 3
"""Words of a text below which it tells of no test."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A question understood: ``concerns`` maps each concern to its weight; ``told`` are stated or named outright."""

    question: Question
    reading: Reading
    concepts: Concepts
    concerns: dict[str, float]
    told: tuple[str, ...]
    codes: tuple[str, ...]
    vehicle: Known
    names: VehicleNames
    told_results: tuple[Result, ...] = ()
    told_parts: tuple[frozenset[str], ...] = ()
    ambiguous: tuple[str, ...] = ()

    @property
    def only_narrowed(self) -> bool:
        """Returns whether nothing is asked but narrowings, so that cases are simply listed."""
        question = self.question
        structured = (
            question.system,
            self.concerns,
            self.codes,
            question.parts_tried,
            question.evidence,
            self.reading.names,
        )
        return not self.concepts.all and self.vehicle.empty and not any(structured)


def understand(view: View, question: Question, names: VehicleNames, own: Table = NO_TERMS) -> Asked:
    """Returns a question understood in the words of a view; ``own`` are the shop's terms."""
    reading = read(question.text)
    concepts = resolve(view, reading, names, own, typing=question.typing)
    content = [token for token in reading.words if token.word.terms and not token.word.stop]
    named = named_concerns(reading.text[:_CONCERN_TEXT]) if content else []
    concerns = dict(concepts.concerns)
    for term in named:
        concerns[term] = max(concerns.get(term, 0.0), weights.NAMED)
    concerns.update(dict.fromkeys(question.symptoms, 1.0))
    told = tuple(dict.fromkeys((*question.symptoms, *named)))
    codes = tuple(dict.fromkeys((*map(plain_code, question.codes), *reading.codes)))
    return Asked(
        question,
        reading,
        concepts,
        concerns,
        told,
        codes,
        names.asked(question, content),
        names,
        told_results(reading.text) if len(content) >= _FEWEST_TOLD else (),
        told_parts(reading.text),
        ambiguous((token.word.terms[0] for token in content), own),
    )

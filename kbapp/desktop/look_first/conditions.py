"""The conditions of a question as chips show them: plain values, from which the question is made."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, Literal, get_args

from kbapp.lookup.question import Evidence, Narrowing, Question
from kbapp.records.vocabulary import SYSTEMS

Kind = Literal["system", "symptom", "make", "family", "generation", "engine", "code", "part", "test", "case"]
KINDS: Final[tuple[Kind, ...]] = get_args(Kind)
_ONE_ONLY: Final = ("system", "make", "family", "generation", "engine", "case")


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition. ``outcome`` belongs to a test; a ``case`` is the open case the question starts from."""

    kind: Kind
    value: str
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Conditions:
    """All conditions, and what the answer is narrowed to."""

    items: tuple[Condition, ...] = ()
    narrow: tuple[Narrowing, ...] = ()

    @classmethod
    def of(cls, question: Question) -> "Conditions":
        """Returns the conditions a question holds."""
        return cls(tuple(_conditions(question)), question.narrow)

    def having(self, condition: Condition) -> "Conditions":
        """Returns the conditions with one more; where only one of a kind makes sense, it takes the other's place."""
        kept = [item for item in self.items if not (item.kind == condition.kind and condition.kind in _ONE_ONLY)]
        if condition not in kept:
            kept.append(condition)
        return replace(self, items=tuple(kept))

    def without(self, condition: Condition) -> "Conditions":
        """Returns the conditions with one less."""
        return replace(self, items=tuple(item for item in self.items if item != condition))

    def narrowed(self, field: str, value: str, *, on: bool) -> "Conditions":
        """Returns the conditions narrowed to one more value of a field, or no longer to it."""
        values = {item.field: item.values for item in self.narrow}
        rest = tuple(kept for kept in values.get(field, ()) if kept != value)
        values[field] = (*rest, value) if on else rest
        return replace(self, narrow=tuple(Narrowing(name, kept) for name, kept in values.items() if kept))

    def wide(self) -> "Conditions":
        """Returns the conditions without any narrowing."""
        return replace(self, narrow=())

    def ticked(self, field: str) -> tuple[str, ...]:
        """Returns the values a field is narrowed to."""
        return next((item.values for item in self.narrow if item.field == field), ())

    def question(self, text: str, *, typing: bool, limit: int) -> Question:
        """Returns the question these conditions and a text ask."""
        system = self._one("system")
        return Question(
            text=text.strip(),
            system=system if system in SYSTEMS else None,
            symptoms=self._all("symptom"),
            make=self._one("make"),
            family=self._one("family"),
            generation=self._one("generation"),
            engine=self._one("engine"),
            codes=self._all("code"),
            parts_tried=self._all("part"),
            evidence=tuple(Evidence(item.value, item.outcome) for item in self.items if item.kind == "test"),
            narrow=self.narrow,
            not_case=self._one("case"),
            typing=typing,
            limit=limit,
        )

    def _all(self, kind: Kind) -> tuple[str, ...]:
        return tuple(item.value for item in self.items if item.kind == kind)

    def _one(self, kind: Kind) -> str:
        return next(iter(self._all(kind)), "")


def _conditions(question: Question) -> Iterator[Condition]:
    one: tuple[tuple[Kind, str], ...] = (
        ("case", question.not_case), ("system", question.system or ""), ("make", question.make),
        ("family", question.family), ("generation", question.generation), ("engine", question.engine),
    )  # fmt: skip
    many: tuple[tuple[Kind, tuple[str, ...]], ...] = (
        ("symptom", question.symptoms), ("code", question.codes), ("part", question.parts_tried),
    )  # fmt: skip
    yield from (Condition(kind, value) for kind, value in one if value)
    yield from (Condition(kind, value) for kind, values in many for value in values)
    yield from (Condition("test", item.test, item.outcome) for item in question.evidence)

"""``kbapp look``: asks the book from the command line."""

import argparse
from typing import Any

from kbapp.commands.context import Progress, counted_cases, open_session, say, show, show_json
from kbapp.errors import UsageError
from kbapp.i18n import _
from kbapp.lookup.question import FACETS, Answer, Evidence, Hit, Narrowing, Question
from kbapp.records.vocabulary import SYSTEMS
from kbapp.wording.reasons import reason_label
from kbapp.wording.terms import term

Commands = Any  # argparse keeps the type of its sub-parsers private


def add(commands: Commands, common: argparse.ArgumentParser) -> None:
    """Adds the command and its arguments."""
    parser = commands.add_parser("look", parents=[common], help=_("find past cases"))
    parser.add_argument("text", nargs="*", metavar=_("TEXT"), help=_("what the vehicle does, in your own words"))
    parser.add_argument("--system", choices=SYSTEMS)
    parser.add_argument("--symptom", action="append", default=[], metavar=_("TERM"))
    for name in ("make", "family", "generation", "engine"):
        parser.add_argument(f"--{name}", default="")
    parser.add_argument("--code", action="append", default=[], help=_("a trouble code that was read"))
    parser.add_argument("--part-tried", action="append", default=[], help=_("a part already fitted without help"))
    parser.add_argument(
        "--evidence", action="append", default=[], metavar=_("TEST=OUTCOME"), help=_("a test and what came of it")
    )
    parser.add_argument(
        "--narrow", action="append", default=[], metavar=_("FIELD=VALUE"),
        help=_("keep only cases with this value; fields: {fields}").format(fields=", ".join(FACETS)),
    )  # fmt: skip
    parser.add_argument("--limit", type=int, default=20)
    parser.add_argument("--json", action="store_true")
    parser.set_defaults(run=run)


def _pair(text: str, option: str) -> tuple[str, str]:
    left, mark, right = text.partition("=")
    if not mark or not left.strip() or not right.strip():
        raise UsageError("option_not_a_pair", option=option, text=text)
    return left.strip(), right.strip()


def _narrowings(pairs: list[tuple[str, str]]) -> tuple[Narrowing, ...]:
    values: dict[str, list[str]] = {}
    for field, value in pairs:
        if field not in FACETS:
            raise UsageError("narrow_unknown_field", field=field, fields=", ".join(FACETS))
        values.setdefault(field, []).append(value)
    return tuple(Narrowing(field, tuple(found)) for field, found in values.items())


def question_of(arguments: argparse.Namespace) -> Question:
    """Returns the question that the arguments ask."""
    if arguments.limit < 1:
        raise UsageError("limit_too_small", limit=arguments.limit)
    return Question(
        text=" ".join(arguments.text),
        system=arguments.system,
        symptoms=tuple(arguments.symptom),
        make=arguments.make,
        family=arguments.family,
        generation=arguments.generation,
        engine=arguments.engine,
        codes=tuple(arguments.code),
        parts_tried=tuple(arguments.part_tried),
        evidence=tuple(Evidence(*_pair(text, "--evidence")) for text in arguments.evidence),
        narrow=_narrowings([_pair(text, "--narrow") for text in arguments.narrow]),
        limit=arguments.limit,
    )


def run(arguments: argparse.Namespace) -> int:
    """Asks, prints the answer, and returns 1 when nothing was found."""
    question = question_of(arguments)
    if question.empty:
        raise UsageError("look_without_question")
    progress = Progress(_("Building the index: {done} of {of} cases"))
    with open_session(arguments) as session:
        session.prepare_index(progress)
        progress.end()
        answer = session.look(question)
    if arguments.json:
        show_json(answer_as_dict(answer))
    else:
        show_answer(answer)
    return 0 if answer.hits else 1


def _asked(question: Question) -> dict[str, Any]:
    asked: dict[str, Any] = {"text": question.text, "limit": question.limit}
    for name in ("system", "make", "family", "generation", "engine"):
        if getattr(question, name):
            asked[name] = getattr(question, name)
    for name in ("symptoms", "codes", "parts_tried"):
        if getattr(question, name):
            asked[name] = list(getattr(question, name))
    if question.evidence:
        asked["evidence"] = [{"test": item.test, "outcome": item.outcome} for item in question.evidence]
    if question.narrow:
        asked["narrow"] = {item.field: list(item.values) for item in question.narrow}
    return asked


def _hit(hit: Hit) -> dict[str, Any]:
    return {
        "id": hit.id,
        "number": hit.number,
        "score": hit.score,
        "state": hit.state,
        "signed_here": hit.signed_here,
        "concern": hit.concern,
        "vehicle": hit.vehicle,
        "cause": hit.cause,
        "reasons": [{"name": r.name, "value": r.value, "detail": r.detail} for r in hit.reasons],
        "passages": [{"field": p.field, "text": p.text, "spans": [list(s) for s in p.spans]} for p in hit.passages],
    }


def answer_as_dict(answer: Answer) -> dict[str, Any]:
    """Returns the answer as the JSON that outside scripts rely on."""
    return {
        "asked": _asked(answer.question),
        "took_ms": round(answer.took_ms, 3),
        "total": answer.total,
        "hits": [_hit(hit) for hit in answer.hits],
        "facets": {
            name: [{"value": item.value, "count": item.count} for item in counts]
            for name, counts in answer.facets.items()
        },
        "did_you_mean": answer.did_you_mean or None,
        "by_text_only": answer.by_text_only,
        "loosen": list(answer.loosen),
    }


def show_answer(answer: Answer) -> None:
    """Prints the answer for a person."""
    if answer.by_text_only:
        say(_("The index is being rebuilt; this answer is from plain text search."))
    if answer.did_you_mean:
        say(_("Did you mean: {text}").format(text=answer.did_you_mean))
    if not answer.hits:
        show(_("Nothing found."))
        for item in answer.loosen:
            show(_("Try without: {item}").format(item=item))
        return
    show(counted_cases(answer.total))
    for n, hit in enumerate(answer.hits, 1):
        _show_hit(n, hit)


def _show_hit(n: int, hit: Hit) -> None:
    state = term("state", hit.state)
    if hit.state == "proved" and not hit.signed_here:
        state = _("{state} (signed elsewhere)").format(state=state)
    show(f"\n{n:>3}  {_one_line(hit.concern)}")
    show(f"     {hit.number or hit.id[:8]} · {state}" + (f" · {hit.vehicle}" if hit.vehicle else ""))
    if hit.cause:
        show("     " + _("Cause: {text}").format(text=_one_line(hit.cause)))
    why = ", ".join(
        f"{reason_label(reason.name)}{f' ({reason.detail})' if reason.detail else ''} {reason.value:+.2f}"
        for reason in hit.reasons
    )
    show("     " + _("Why it matched: {why}").format(why=why))


def _one_line(text: str, limit: int = 110) -> str:
    line = " ".join(text.split())
    return line if len(line) <= limit else line[: limit - 1] + "…"

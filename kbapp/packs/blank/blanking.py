"""Blanks a case: what leaves the book, and every removal in its place."""

import hashlib
import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Final

from pydantic import ValidationError

from kbapp.errors import InputError
from kbapp.packs.blank.coarse import MOMENTS, ODOMETERS, rounded, to_month
from kbapp.packs.blank.files import FileBlanking, OutFile, ReadFile
from kbapp.packs.blank.finding import Care, blanked
from kbapp.packs.blank.listed import Listed
from kbapp.packs.blank.removal import MARKS, Removal, removal_id, removal_in
from kbapp.packs.blank.walk import LINE_NAMES, changed_texts
from kbapp.records.case import Case, Shop
from kbapp.records.private import PrivateDetails
from kbapp.records.section_map import SectionMap

_LISTS_OF_LINES: Final = ("timeline", "retest")


@dataclass(frozen=True, slots=True)
class Blanked:
    """A case as it leaves the book, its files, and everything that was taken out or kept on the user's word."""

    case: Case
    removals: tuple[Removal, ...]
    files: tuple[OutFile, ...] = ()


def blank_case(
    case: Case,
    records: Iterable[PrivateDetails],
    read_file: ReadFile,
    shop: Shop,
    kept: Collection[str] = (),
    known: Iterable[str] = (),
) -> Blanked:
    """Returns a case blanked against the private records that concern it.

    ``kept``: ids of removals not to be made. ``known``: names of shops, makes and the like, which are no people.

    A case without a shop is given ``shop``, so that its origin stays visible. The private records never enter it.

    Raises:
        InputError: ``blanking_failed``, no sound case is left.
    """
    listed = Listed(records, _known_words(case, (shop.name, *known)))
    plain = case.plain()
    work = _Blanking(case.id, listed.within(_texts(plain)), kept)
    plain = work.without_reference(plain)
    plain = changed_texts(plain, work.text)
    plain = work.coarse(plain, "")
    files = FileBlanking(case.id, listed, read_file, kept)
    plain = _with_files(plain, case.plain(), files)
    plain.setdefault("shop", shop.plain())
    try:
        out = Case.model_validate(plain)
    except ValidationError:
        raise InputError("blanking_failed", number=case.number) from None
    return Blanked(out, (*work.removals, *files.removals), tuple(files.files))


def _known_words(case: Case, names: Iterable[str]) -> Iterator[str]:
    """Yields the words of a case that are written with a capital and name nobody."""
    vehicle = case.vehicle.plain().values() if case.vehicle else ()
    texts = (*map(str, vehicle), *names, case.shop.name if case.shop else "", *(code.module for code in case.codes))
    for text in texts:
        yield from (word.lower() for word in re.findall(r"[^\W\d_]+", text))


def blank_map(section_map: SectionMap, kept: Collection[str] = ()) -> tuple[SectionMap, tuple[Removal, ...]]:
    """Returns a section map without what its running texts give away."""
    work = _Blanking(f"map:{section_map.id}", Listed(()), kept)
    plain = section_map.plain()
    for name in ("source", "notes"):
        if name in plain:
            plain[name] = work.text(name, plain[name], "running")
    plain["history"] = [
        {
            **work.coarse(change, f"history.{n}."),
            "text": work.text(f"history.{n}.text", change.get("text", ""), "running"),
        }
        for n, change in enumerate(plain.get("history", ()))
    ]
    return SectionMap.model_validate(plain), tuple(work.removals)


def _with_files(plain: dict[str, Any], original: dict[str, Any], files: FileBlanking) -> dict[str, Any]:
    names = [one["name"] for one in original.get("attachments", ())]
    going: list[dict[str, Any]] = []
    for place, one in enumerate(plain.get("attachments", ())):
        made = files.attachment(place, len(going) + 1, {**one, "name": names[place]})
        if made is not None:
            going.append(made)
    out = {name: value for name, value in plain.items() if name != "attachments"}
    return {**out, "attachments": going} if going else out


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)


class _Blanking:
    """The texts, dates and distances of one case on their way out."""

    def __init__(self, case_id: str, listed: Listed, kept: Collection[str]) -> None:
        self._case_id, self.listed, self._kept = case_id, listed, kept
        self.removals: list[Removal] = []

    def without_reference(self, plain: dict[str, Any]) -> dict[str, Any]:
        """Returns the case without the label that joins visits of one vehicle."""
        if "vehicle_ref" in plain:
            self._note("vehicle_ref", 0, "vehicle_ref", plain["vehicle_ref"], "")
        return {name: value for name, value in plain.items() if name != "vehicle_ref"}

    def text(self, path: str, text: str, care: Care) -> str:
        """Returns a text without what has to go from it."""
        name = path.rpartition(".")[2]
        if name in MOMENTS or (path.startswith("attachments.") and name == "name"):
            return text
        out = blanked(text, self.listed, care, lambda now, span: self._add(removal_in(self._case_id, path, now, span)))
        if out != text and _is_line_name(path):
            return f"line-{hashlib.sha256(text.encode()).hexdigest()[:8]}"
        return out

    def coarse(self, value: Any, path: str) -> Any:
        """Returns JSON values with moments to the month and odometers to the full thousand."""
        if isinstance(value, list):
            return [self.coarse(item, f"{path}{n}.") for n, item in enumerate(value)]
        if not isinstance(value, dict):
            return value
        return {name: self._coarse_field(f"{path}{name}", name, inner) for name, inner in value.items()}

    def _coarse_field(self, path: str, name: str, value: Any) -> Any:
        if name in MOMENTS and isinstance(value, str):
            month = to_month(value)
            return month if month == value or not self._note(path, 0, "date", value, month) else value
        if name in ODOMETERS and isinstance(value, dict):
            full, exact = rounded(value["value"]), value["value"]
            keep = full == exact or self._note(f"{path}.value", 0, "odometer", str(exact), str(full))
            return value if keep else {**value, "value": full}
        return self.coarse(value, f"{path}.")

    def _note(self, path: str, start: int, kind: Any, text: str, put: str) -> bool:
        name = removal_id(self._case_id, path, start, kind, text)
        return self._add(Removal(name, self._case_id, path, kind, text, put))

    def _add(self, removal: Removal) -> bool:
        kept = removal.id in self._kept and not removal.forced
        self.removals.append(replace(removal, kept=kept))
        return kept


def _is_line_name(path: str) -> bool:
    """Whether a field is the id of a line, or names a line by its id: those stay alike all over the case."""
    first, _, rest = path.partition(".")
    name = path.rpartition(".")[2]
    return (
        (first in _LISTS_OF_LINES and rest.count(".") == 1 and name == "id")
        or name in LINE_NAMES
        or (name.isdigit() and path.split(".")[-2] in LINE_NAMES)
    )


__all__ = ["MARKS", "Blanked", "blank_case", "blank_map"]

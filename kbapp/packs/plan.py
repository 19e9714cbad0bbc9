"""Judges what each case of a pack would be to a book: new, revised, a clash, already here, or refused."""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Literal

from kbapp.packs.entry import Lineage
from kbapp.records.fault import Fault

Verdict = Literal["new", "revised", "clash", "here", "refused"]
Reason = Literal["", "same", "older", "edited_here", "own_case", "other_signer", "newer_format", "faults"]
Note = Literal["came_back", "withdrawn", "markup"]


@dataclass(frozen=True, slots=True)
class Here:
    """A case as the book has it: the revision in view and its digest.

    ``known``: digests of versions this book had or settled before; ``own``: the case is this shop's; ``sent``: the
    digest under which the revision in view was sent out, if it was.
    """

    revision: int
    digest: str
    known: Collection[str] = ()
    own: bool = False
    sent: str = ""


@dataclass(frozen=True, slots=True)
class PlanItem:
    """One case of a pack and what reading it would do.

    ``head``: the revision in view where the case is here. ``files``: the digests of the files that come with it.
    """

    case_id: str
    verdict: Verdict
    reason: Reason = ""
    number: str = ""
    concern: str = ""
    shop: str = ""
    state: str = ""
    notes: tuple[Note, ...] = ()
    faults: tuple[Fault, ...] = ()
    head: int | None = None
    digest: str = ""
    parents: tuple[str, ...] = ()
    files: tuple[str, ...] = ()


def judge(lineage: Lineage, here: Here | None, *, vouched: bool) -> tuple[Verdict, Reason]:
    """Returns what an incoming version is to the one in view.

    A version that names the one in view among its parents follows it; anything else that is not known yet clashes,
    so that a local edit is never overwritten. ``vouched``: the key is trusted, or the one that brought the case before.
    """
    if here is None:
        return "new", ""
    if lineage.digest in (here.digest, here.sent):
        return "here", "same"
    follows = here.digest in lineage.parents or bool(here.sent and here.sent in lineage.parents)
    if not follows:
        return ("here", "older") if lineage.digest in here.known else ("clash", "edited_here")
    if here.own:
        return "clash", "own_case"
    return ("revised", "") if vouched else ("clash", "other_signer")

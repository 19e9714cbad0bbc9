"""Accepts the signature of another shop: from then on a case proved elsewhere counts as signed here."""

from sqlalchemy import Connection

from kbapp.errors import InputError
from kbapp.store.heads import find_head
from kbapp.store.private_details import touch
from kbapp.store.saving import Stamp
from kbapp.store.sign_offs import Signature, log


def accept(connection: Connection, case_id: str, stamp: Stamp, signature: Signature | None = None) -> int:
    """Marks a proved case as signed here and returns the change; one that is signed already is left as it is.

    The sign-off log gets a line about it.

    Raises:
        InputError: ``case_unknown``, or ``not_proved``: there is no signature to accept.
    """
    found = find_head(connection, case_id)
    if found is None or found[1]:
        raise InputError("case_unknown", reference=case_id)
    head = found[0]
    if head.case.state != "proved":
        raise InputError("not_proved", reference=head.case.number or case_id)
    if head.signed_here:
        return head.change
    log(connection, case_id, head.revision, signature or Signature(stamp.author, "", "accepted"), stamp)
    return touch(connection, case_id, "accepted", stamp, signed_here=True)

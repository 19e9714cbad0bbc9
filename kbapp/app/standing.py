"""What has to be so before a case may stand as repaired."""

from kbapp.app.session import Session
from kbapp.app.still_on import still_on
from kbapp.errors import InputError
from kbapp.records.case import Case


def refuse_left_on(session: Session, case: Case) -> None:
    """Refuses while a test or a temporary part is still on the vehicle.

    Raises:
        InputError: ``still_on_vehicle``.
    """
    section_map = None
    if case.map is not None:
        try:
            section_map = session.map_of(case)
        except InputError:
            section_map = None  # drawn by another shop and not here: the lines alone tell
    left = still_on(case, section_map)
    if left:
        raise InputError("still_on_vehicle", what="; ".join(item.what for item in left))

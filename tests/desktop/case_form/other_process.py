"""Another program on the same book: ``python -m tests.desktop.case_form.other_process BOOK CASE FIELD TEXT``."""

import sys

from kbapp.app.case_fields import with_fields
from kbapp.app.session import Session


def main(book: str, case_id: str, field: str, text: str) -> int:
    """Writes one field of a case and says the revision."""
    session = Session.open(book, author="RA", follow=False)
    try:
        view = session.case(case_id)
        case = with_fields(view.case, {field: text}).unwrap()
        sys.stdout.write(f"{session.save(case, view.revision).revision}\n")
    finally:
        session.close()
    return 0


if __name__ == "__main__":
    raise SystemExit(main(*sys.argv[1:]))

"""Private details of a case: kept apart from the document, never in a pack, erasable."""

from kbapp.records.base import Line, Record, Text


class PrivateDetails(Record):
    """Who the customer is and what identifies the vehicle; every field may stay empty."""

    customer: Line = ""
    phone: Line = ""
    plate: Line = ""
    vin: Line = ""
    order_number: Line = ""
    address: Text = ""
    email: Line = ""

    @property
    def empty(self) -> bool:
        """Whether nothing is recorded."""
        return not self.plain()

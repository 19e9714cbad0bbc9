"""Files on their way into a case: photos made smaller and upright, scan reports read for their codes."""

"""Old records: from a spreadsheet or pasted notes, seen first, brought in as one, taken out again as one."""

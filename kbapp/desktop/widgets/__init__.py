"""The controls of the bench ledger: heads, lines, chips, notes, fields; nothing here knows the book."""

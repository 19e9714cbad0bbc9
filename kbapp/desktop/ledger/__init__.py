"""The Swap Ledger: figures and charts over the book, retraced cases, and cases to learn from."""

"""Look First: the index over the book, questions, ranked answers with their reasons."""

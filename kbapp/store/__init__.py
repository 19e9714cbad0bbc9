"""The book: case documents in revisions with their projection, files, private details, change feed, backup."""

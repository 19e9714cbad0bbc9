"""Statistics over the book: pure counting over plain rows, every share with its n and interval."""

"""The Kit List: what the shop has, borrows and lacks, and what can be tested with it."""

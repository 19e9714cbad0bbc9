"""Map Drafting: maps of the shop's own, drawn, checked, tried dry and kept in versions."""

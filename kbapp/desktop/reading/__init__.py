"""The reading pane: one case, from its head to its last line."""

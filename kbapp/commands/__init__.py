"""The commands: one module a command, each with ``add`` (its arguments) and the functions that run it."""

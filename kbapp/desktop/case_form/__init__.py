"""The whole case as a form: every field and line in the order a technician thinks."""

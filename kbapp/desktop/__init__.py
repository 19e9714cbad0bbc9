"""The desktop program (Qt)."""

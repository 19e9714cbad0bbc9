"""Provebook: a workshop's memory of proved repairs."""

__version__ = "0.1.0"

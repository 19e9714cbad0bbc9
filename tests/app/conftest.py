"""The shops that exchange packs."""

from tests.packs.sides import copperhill, pack, weir

__all__ = ["copperhill", "pack", "weir"]

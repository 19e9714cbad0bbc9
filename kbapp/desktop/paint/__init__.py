"""Painting helpers: text, ruling, stamps, state marks; all take their colours and measures from a Look."""

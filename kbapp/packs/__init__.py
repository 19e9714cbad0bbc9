"""Exchange packs: blanking, the bag in a ZIP, signatures, and reading that refuses every danger. Knows no database."""

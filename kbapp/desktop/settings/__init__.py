"""Settings, and the first run that asks for the most needed of them."""

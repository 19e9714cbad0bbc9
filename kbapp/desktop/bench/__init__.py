"""The Bench: the home screen with every case that wants something."""

"""What screens and commands can ask for: the use cases, and the one place where everything is put together."""

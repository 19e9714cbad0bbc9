"""Start a concern: what is asked on the phone, in under two minutes and by keyboard alone."""

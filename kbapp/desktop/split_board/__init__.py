"""The Split Board: one open case beside the vehicle, its section flow, what is still possible, and what to do next."""

"""The Jot screen: a case in five lines."""

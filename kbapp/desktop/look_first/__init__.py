"""The Look First screen: a question to the book, narrowed, answered and explained."""

"""Blanking: what could tell who a customer is goes before a case leaves the book, each removal shown in its place."""

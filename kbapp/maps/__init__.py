"""The section maps that ship with the program, as JSON documents, and how they are found."""

"""What forms are made of: labelled fields in columns, choices, chips, and the page they stand on."""

"""The Hand-Back Sheet on paper: laid out once, drawn alike on screen, to a printer and to PDF."""

"""The look of the program: tokens, fonts, icons, palette and style sheet, changed live."""

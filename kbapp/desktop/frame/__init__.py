"""The main window around the screens: thumb index, menu, help, keys."""

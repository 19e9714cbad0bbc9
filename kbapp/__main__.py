"""Runs the command line as ``python -m kbapp``."""

from kbapp.cli import main

if __name__ == "__main__":
    raise SystemExit(main())

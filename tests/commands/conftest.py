"""Calls a command as a user does and returns its exit code, answer and remarks."""

from collections.abc import Callable

import pytest

from kbapp.cli import main

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    def call(*arguments: str) -> tuple[int, str, str]:
        try:
            code = main(arguments)
        except SystemExit as ended:
            code = int(ended.code or 0)
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return code, out, err

    return call

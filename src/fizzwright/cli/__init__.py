"""The command line: reads what a person types, calls the house, shows the answer; computes nothing."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Sequence

__all__ = ["main"]


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give back its exit code (see `fizzwright.errors` for what each means)."""
    from fizzwright.cli.refusal import report_bug, report_refusal
    from fizzwright.errors import FizzwrightError

    given = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        code = _run(given)
        sys.stdout.flush()
    except FizzwrightError as refusal:
        code = report_refusal(refusal, as_json="--json" in given)
    except (KeyboardInterrupt, EOFError):
        sys.stderr.write("\nStopped.\n")
        code = 130
    except BrokenPipeError:
        # The reader of our output went away; leave Python nothing to flush into the closed pipe.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 0
    except Exception as bug:
        code = report_bug(bug)
    return code


def _run(given: list[str]) -> int:
    """Run one command under click, whose own refusals are about how the command was typed."""
    import click

    from fizzwright.cli.root import fizzwright

    try:
        code = fizzwright.main(args=given, prog_name="fizzwright", standalone_mode=False)
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.Abort as stop:
        raise KeyboardInterrupt from stop
    except click.ClickException as usage:
        usage.show()
        return usage.exit_code
    return code if isinstance(code, int) else 0

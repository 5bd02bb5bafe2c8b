"""docs/reference/cli.md: every command and every option, from the commands themselves."""

from __future__ import annotations

import click

from fizzwright.cli.root import fizzwright

HEAD = """# Commands

*Made by `make docs` from the commands themselves; do not edit.*

Quantities take a unit: `4dKH`, `77F`, `20gal`, `30psi`; comma and point both mark decimals. A bare number is
refused with the units that would do, except where a number says it all (pH, a count). A negative value is
written with an equals sign: `--temp=-1C`.

Every command takes `--help`, `--json` (one object: `result`, `findings`, `trail`, `version`),
`--units metric|us` and `--working` (every equation, source and assumption). Under `--json` each quantity is
`{"value", "unit", "low", "high", "basis"}`; its unit is the ending of its key, whatever `--units` says; `low`
and `high` are `null` where no band is stated.

| exit code | meaning |
|---|---|
| 0 | answered |
| 1 | a mistake of Fizzwright's own; please report it |
| 2 | the command was typed wrongly |
| 3 | input that cannot be used; every fault is listed, field by field |
| 4 | no answer |
| 5 | no plan: a hard limit would be crossed |
| 6 | the record could not be read or written |
| 7 | something this needs is not installed |
"""

# Named once in the head of the page.
SHARED = {"--json", "--units", "--working", "--help"}


def commands_page() -> str:
    """The page as Markdown."""
    lines = [HEAD]
    for path, command in _walk(fizzwright, ("fizzwright",)):
        lines += _section(path, command)
    return "\n".join(lines)


def _walk(command: click.Command, path: tuple[str, ...]) -> list[tuple[tuple[str, ...], click.Command]]:
    found = [(path, command)]
    if isinstance(command, click.Group):
        context = click.Context(command, info_name=path[-1])
        for name in command.list_commands(context):
            inner = command.get_command(context, name)
            assert inner is not None
            found += _walk(inner, (*path, name))
    return found


def _section(path: tuple[str, ...], command: click.Command) -> list[str]:
    context = click.Context(command, info_name=" ".join(path))
    usage = " ".join([*path, *command.collect_usage_pieces(context)])
    lines = [f"{'#' * min(len(path) + 1, 4)} {' '.join(path)}", "", _paragraph(command.help or ""), ""]
    if isinstance(command, click.Group):
        return lines
    own = [p for p in command.get_params(context) if isinstance(p, click.Option) and not SHARED & set(p.opts)]
    lines += [f"    {usage}", ""]
    if not own:
        return lines
    lines += ["| option | what it says |", "|---|---|"]
    records = [record for p in own if (record := p.get_help_record(context))]
    lines += [f"| `{_cell(names)}` | {_cell(text)} |" for names, text in records]
    return [*lines, ""]


def _paragraph(text: str) -> str:
    return " ".join(text.split())


def _cell(text: str) -> str:
    return _paragraph(text.replace("\u00a0", " ")).replace("|", "\\|")

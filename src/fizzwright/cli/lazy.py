"""A group of commands whose modules load only when the command is called, and the options all share."""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import click

from fizzwright.units import System

__all__ = ["Entry", "Face", "LazyGroup", "shared_options"]


@dataclass(frozen=True)
class Entry:
    """Where a command lives and the line that stands for it in a list of commands."""

    module: str
    attribute: str
    short: str

    def load(self, name: str) -> click.Command:  # noqa: ARG002 - other entries build by name
        """The command itself, imported now."""
        found = getattr(importlib.import_module(self.module), self.attribute)
        assert isinstance(found, click.Command)
        return found


class LazyGroup(click.Group):
    """A click group that lists its commands from a table, in the order of the table."""

    def __init__(self, *, entries: Mapping[str, Any], **settings: Any) -> None:
        super().__init__(**settings)
        self.entries = entries

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's own signature
        """The names, in the order a job is done."""
        return list(self.entries)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of that name, imported now; None where there is none."""
        entry = self.entries.get(cmd_name)
        return None if entry is None else entry.load(cmd_name)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command asked for; a name that is none is answered with the nearest ones."""
        if args and args[0] not in self.entries and not args[0].startswith("-"):
            import difflib

            near = difflib.get_close_matches(args[0], self.entries, n=2)
            hint = f" Did you mean {' or '.join(near)}?" if near else f" There is: {', '.join(self.entries)}."
            ctx.fail(f"No such command: {args[0]}.{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The list of commands, written without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, entry.short) for name, entry in self.entries.items()])


@dataclass(frozen=True)
class Face:
    """How the reader wants the answer: as JSON or text, in which units, with all its working or not."""

    as_json: bool
    system: System | None
    working: bool = False

    def system_or(self, fallback: str) -> System:
        """The units asked for, or those the job names."""
        return self.system if self.system is not None else System(fallback)


def shared_options(function: Callable[..., Any]) -> Callable[..., Any]:
    """Give a command `--json`, `--units` and `--working`, handed on as one `face`."""
    import functools

    @click.option("--working", is_flag=True, help="Also list every equation, source and assumption.")
    @click.option(
        "--units",
        type=click.Choice([s.value for s in System]),
        help="Units of the printed answer; JSON and CSV keep the unit their key names.",
    )
    @click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
    @functools.wraps(function)
    def with_face(*args: Any, as_json: bool, units: str | None, working: bool, **others: Any) -> Any:
        face = Face(as_json, System(units) if units else None, working)
        return function(*args, face=face, **others)

    return with_face

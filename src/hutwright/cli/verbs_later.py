"""Verbs whose flags are slow to make: they are loaded when somebody asks for them, or for the list."""

from __future__ import annotations

from importlib import import_module

import click

LATER = {
    "start": "hutwright.cli.starting",
    "measure": "hutwright.cli.measure_verb",
    "firmware": "hutwright.cli.board_verbs",
    "identify": "hutwright.cli.board_verbs",
    "calibrate": "hutwright.cli.board_verbs",
    "watch": "hutwright.cli.board_verbs",
    "relay": "hutwright.cli.board_verbs",
}


class Verbs(click.Group):
    """The verbs that are here, and those of `LATER`, each an object of its module by the verb's name."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All names, in order."""
        return sorted({*super().list_commands(ctx), *LATER})

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The verb; None where there is none of that name."""
        if cmd_name not in LATER:
            return super().get_command(ctx, cmd_name)
        found = getattr(import_module(LATER[cmd_name]), cmd_name)
        assert isinstance(found, click.Command)
        return found

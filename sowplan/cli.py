"""The command line: each command is a module of ``sowplan.commands``; this ties them together."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from typing import Annotated, Any, TypeVar

import typer
from typer.core import TyperGroup

from sowplan import __version__
from sowplan.commands.bed import bed
from sowplan.commands.calendar import calendar
from sowplan.commands.check import check
from sowplan.commands.climate import climate
from sowplan.commands.crops import crops
from sowplan.commands.done import done
from sowplan.commands.due import due
from sowplan.commands.fit import fit
from sowplan.commands.new import new
from sowplan.commands.page import page
from sowplan.commands.plan import plan
from sowplan.commands.print import print_
from sowplan.commands.revise import revise
from sowplan.commands.sun import sun
from sowplan.commands.when import when
from sowplan.problem import NOTHING_HALF_WRITTEN, Exit

Value = TypeVar("Value")


class Stoppable(TyperGroup):
    """The commands, each of which Ctrl-C stops with a line that says so."""

    def make_context(self, *args: Any, **kwargs: Any) -> Any:
        """Read the command line."""
        return _or_stopped(lambda: super(Stoppable, self).make_context(*args, **kwargs))

    def invoke(self, ctx: Any) -> Any:
        """Run the command."""
        return _or_stopped(lambda: super(Stoppable, self).invoke(ctx))


def _or_stopped(work: Callable[[], Value]) -> Value:
    """Return what comes of some work; leave where it, or a question it asks, is broken off."""
    try:
        return work()
    except (KeyboardInterrupt, typer.Abort):
        typer.echo(NOTHING_HALF_WRITTEN, err=True)
        raise typer.Exit(Exit.STOPPED) from None


app = typer.Typer(
    name="sowplan",
    cls=Stoppable,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)

app.command()(new)
app.command()(check)
app.command()(fit)
app.command()(when)
app.command()(climate)
app.command()(sun)
app.command()(crops)
app.command()(plan)
app.command()(due)
app.command()(done)
app.command()(revise)
app.command()(bed)
app.command()(calendar)
app.command("print")(print_)
app.command()(page)


def flowed(text: str) -> str:
    """Return a help text with each paragraph on one line, so that any width breaks it well.

    Indented lines, the examples, stay as they are.
    """
    paragraphs = inspect.cleandoc(text).split("\n\n")
    return "\n\n".join(p if p.startswith(" ") else " ".join(p.split()) for p in paragraphs)


for _command in app.registered_commands:
    _command.help = flowed(_command.callback.__doc__)


def _tell_version(asked: bool) -> None:
    if asked:
        typer.echo(f"sowplan {__version__}")
        raise typer.Exit()


@app.callback()
def _sowplan(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_tell_version, is_eager=True, help="Tell the version and end."
        ),
    ] = False,
) -> None:
    """Plan a kitchen garden's season: from one garden file to sowings, beds and dates."""


def main() -> None:
    """Run the command line."""
    app()

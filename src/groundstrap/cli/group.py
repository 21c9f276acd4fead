"""How the program begins and ends: near names for what is misspelt, one message for what goes wrong."""

from __future__ import annotations

import errno
import gc
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NoReturn

import click

from groundstrap import api
from groundstrap.errors import COULD_NOT_DO, INPUT_IS_WRONG, CallError, CannotDoError, GroundstrapError
from groundstrap.errors import nearest_name as nearest

__all__ = ["SHELF", "CommandLine", "Group", "examples"]

SHELF = click.option(
    "--shelf",
    "url",
    metavar="URL",
    envvar="GROUNDSTRAP_SHELF",
    help="sqlite:///FILE or postgresql://USER@HOST/DATABASE; left out, GROUNDSTRAP_SHELF says it, else it is "
    "a file in your data folder.",
)
"""Which shelf a command is about."""

_INTERRUPTED = 130


def examples(*lines: str) -> str:
    """Return examples as they stand: click keeps lines of a paragraph that begins with a backspace mark."""
    return "\b\nExamples:\n" + "\n".join(f"  {line}" for line in lines)


class CommandLine(click.Command):
    """A command whose unknown options are answered with the nearest one that is known."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Read the arguments; a missing one is answered with how the command is called."""
        try:
            return super().parse_args(ctx, args)
        except click.NoSuchOption as fault:
            known = [name for param in self.get_params(ctx) for name in param.opts if name[:1] == "-"]
            raise _call_error(f"{ctx.command_path} has no option {fault.option_name}", known, fault) from None
        except click.UsageError as fault:
            wanted = f"{ctx.command_path} {' '.join(self.collect_usage_pieces(ctx))}"
            raise CallError(fault.format_message().rstrip("."), wanted=wanted) from None


def _call_error(reason: str, known: Sequence[str], fault: click.NoSuchOption) -> CallError:
    return CallError(reason, wanted=f"one of {', '.join(known)}", nearest=nearest(fault.option_name, known))


class Group(click.Group):
    """The program: whatever goes wrong below it ends in one message and a status of the contract."""

    command_class = CommandLine

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; a name that is none is answered with the nearest."""
        if args and self.get_command(ctx, args[0]) is None and not args[0].startswith("-"):
            names = self.list_commands(ctx)
            reason = f"{ctx.command_path} has no command {args[0]!r}"
            raise CallError(
                reason, wanted=f"one of {', '.join(names)}", nearest=nearest(args[0], names)
            ) from None
        return super().resolve_command(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; where nobody reads its answer any more, end without a word."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError as error:
            _broken(error)

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run the program and end with a status of the contract; never with a traceback for bad input."""
        if kwargs.get("standalone_mode") is False or "_GROUNDSTRAP_COMPLETE" in os.environ:
            return super().main(*args, **{**kwargs, "prog_name": "groundstrap"})
        given = kwargs.get("args", args[0] if args else None)
        words = list(sys.argv[1:] if given is None else given)
        try:
            with _nothing_collected():
                status = super().main(args=words, prog_name="groundstrap", standalone_mode=False)
            _leave(status)
        except GroundstrapError as error:
            _tell(error, as_json="--json" in words)
        except click.exceptions.Exit as done:
            sys.exit(done.exit_code)
        except click.exceptions.NoArgsIsHelpError as fault:
            click.echo(fault.format_message(), err=True)
            sys.exit(INPUT_IS_WRONG)
        except click.UsageError as fault:
            wanted = "groundstrap --help says what there is"
            _tell(CallError(fault.format_message().rstrip("."), wanted=wanted), as_json="--json" in words)
        except (KeyboardInterrupt, click.Abort):
            click.echo("\ngroundstrap: interrupted", err=True)
            sys.exit(_INTERRUPTED)
        except OSError as error:
            _broken(error)
        except Exception as error:
            _fault_of_ours(error)


@contextmanager
def _nothing_collected() -> Iterator[None]:
    """Look for no garbage: a command is over before it would pay, and looking takes a tenth of its time."""
    collected = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collected:
            gc.enable()


def _leave(status: object) -> NoReturn:
    """Flush while an error can still be told, then end with the command's status."""
    sys.stdout.flush()
    sys.exit(status if isinstance(status, int) else 0)


def _tell(error: GroundstrapError, *, as_json: bool) -> NoReturn:
    if as_json and error.exit_status == INPUT_IS_WRONG:
        click.echo(api.faults_json(error), nl=False)
    else:
        click.echo(api.error_lines(error), err=True)
    sys.exit(error.exit_status)


def _fault_of_ours(error: Exception) -> NoReturn:
    """Say that the program itself failed; GROUNDSTRAP_TRACEBACK=1 shows where."""
    if os.environ.get("GROUNDSTRAP_TRACEBACK"):
        raise error
    reason = f"groundstrap itself failed ({type(error).__name__}: {error})"
    next_step = "nothing was written; GROUNDSTRAP_TRACEBACK=1 shows where, for whoever mends it"
    click.echo(api.error_lines(CannotDoError(reason, next_step=next_step)), err=True)
    sys.exit(COULD_NOT_DO)


def _broken(error: OSError) -> NoReturn:
    """A reader that has gone is no fault; a full disk or a lost terminal is the tool's."""
    # Whatever is still buffered goes nowhere, or Python complains about it on its way out.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if error.errno in {errno.EPIPE, errno.EINVAL}:
        sys.exit(0)
    next_step = "free some room, or write elsewhere"
    click.echo(
        api.error_lines(CannotDoError(f"can't write: {error.strerror}", next_step=next_step)), err=True
    )
    sys.exit(COULD_NOT_DO)

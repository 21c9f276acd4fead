"""The command that opens the bench: a page on this machine."""

from __future__ import annotations

import contextlib
import gc
import getpass
import os
import sys
from pathlib import Path

import click

from groundstrap import web
from groundstrap.cli.group import SHELF, CommandLine, examples
from groundstrap.errors import CallError

__all__ = ["bench"]

_PORT = 8412


@click.command(
    cls=CommandLine,
    epilog=examples(
        "groundstrap bench                    the page, on this machine alone",
        "groundstrap bench van.job.yaml       a job file put on the shelf and opened",
        "groundstrap bench --share            for the phones of the workshop, with a passphrase",
    ),
)
@click.argument("job", required=False, metavar="[JOB]")
@click.option(
    "--port", type=click.IntRange(1, 65535), default=_PORT, show_default=True, help="Where it listens."
)
@SHELF
@click.option(
    "--share", is_flag=True, help="Let others on the network in, with a passphrase that is asked for."
)
@click.option(
    "--new-passphrase", is_flag=True, help="With --share: ask for a passphrase though there is one."
)
@click.option("--no-open", is_flag=True, help="Open no browser.")
def bench(
    job: str | None, *, port: int, url: str | None, share: bool, new_passphrase: bool, no_open: bool
) -> None:
    """Open the bench: a page to plan on, for laptop and phone.

    The job file JOB is put on the shelf and opened there; saves go to the shelf, and the file stays as it
    is. The bench runs until it is interrupted (Ctrl-C), and needs no internet.
    """
    if new_passphrase and not share:
        raise CallError("--new-passphrase is for a bench that is shared", wanted="--share with it")
    if share and (new_passphrase or not web.has_passphrase()):
        web.keep_passphrase(_asked_for())
    settings = web.prepared(shelf=url, port=port, shared=share, workers=_processors())
    path = "" if job is None else f"jobs/{web.on_the_shelf(url, Path(job), _who())}"
    address = f"http://127.0.0.1:{port}/{path}"
    others = _for_others(port) if share else None

    def ready() -> None:
        click.echo(f"groundstrap: the bench is at {address}; Ctrl-C ends it", err=True)
        if others is not None:
            click.echo(f"groundstrap: for others: {others}, with the passphrase", err=True)
        if not no_open:
            click.launch(address)

    # Other commands end before garbage would matter; this one runs for days.
    gc.enable()
    # Where the interrupt finds the server decides whether it is seen here, too.
    with contextlib.suppress(KeyboardInterrupt):
        web.serve(settings, ready=ready)
    click.echo("\ngroundstrap: the bench has ended; what was saved is on the shelf", err=True)


def _asked_for() -> str:
    """The passphrase, typed twice and not shown; piped, it is one line."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    typed: str = click.prompt(
        "Passphrase for this bench", hide_input=True, confirmation_prompt=True, err=True
    )
    return typed


def _for_others(port: int) -> str:
    """The address that other machines reach this one by."""
    found = web.lan_address()
    return f"http://{found}:{port}/" if found else f"this machine's own address, port {port}"


def _who() -> str:
    try:
        return os.environ.get("GROUNDSTRAP_WHO") or getpass.getuser()
    except (OSError, KeyError, ImportError):
        return "somebody"


def _processors() -> int:
    """How many processes plan: one for each processor, four at most."""
    there = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
    return max(1, min(4, there))

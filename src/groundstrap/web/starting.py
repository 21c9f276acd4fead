"""What is done before a bench answers: its key, the passphrase's hash, the address it can be reached by."""

from __future__ import annotations

import asyncio
import os
import secrets
from collections.abc import Callable
from pathlib import Path
from typing import Final

from groundstrap import api
from groundstrap.errors import CannotDoError
from groundstrap.web.settings import LOOPBACK_NAMES, Settings, machine_names
from groundstrap.web.signing import hashed

__all__ = ["has_passphrase", "keep_passphrase", "lan_address", "on_the_shelf", "prepared", "sure_to_listen"]

_SECRET: Final = "bench.key"
_PASSPHRASE: Final = "bench.passphrase"
_SECRET_BYTES: Final = 32
# An address that is set aside for documents: asked which way leads there, a machine tells its own address,
# and nothing is sent.
_NOWHERE: Final = ("192.0.2.1", 9)


def has_passphrase() -> bool:
    """Whether a passphrase was set before."""
    return (api.data_folder() / _PASSPHRASE).is_file()


def keep_passphrase(passphrase: str) -> None:
    """Set the passphrase that a shared bench is entered with; only its hash is kept.

    Parameters
    ----------
    passphrase : str
        As it was typed.
    """
    _write(api.data_folder() / _PASSPHRASE, hashed(passphrase).encode())


def prepared(*, shelf: str | None, port: int, shared: bool, workers: int) -> Settings:
    """Return the settings of a bench in this user's data folder.

    Parameters
    ----------
    shelf : str or None
        Address of the shelf; none for the file in the data folder.
    port : int
        Where it listens.
    shared : bool
        Whether others on the network may come in, with the passphrase that was kept.
    workers : int
        Processes that plan.
    """
    folder = api.data_folder()
    return Settings(
        shelf=shelf,
        host="0.0.0.0" if shared else "127.0.0.1",
        port=port,
        secret=_secret(folder / _SECRET),
        passphrase_hash=_read(folder / _PASSPHRASE).decode().strip() if shared else None,
        names=LOOPBACK_NAMES | machine_names() if shared else LOOPBACK_NAMES,
        workers=workers,
    )


def sure_to_listen(settings: Settings) -> None:
    """Find out before anything is begun whether the port is free."""

    async def listening() -> None:
        server = await asyncio.start_server(lambda *_: None, settings.host, settings.port)
        server.close()
        await server.wait_closed()

    try:
        asyncio.run(listening())
    except (OSError, OverflowError) as error:
        why = os.strerror(error.errno) if isinstance(error, OSError) and error.errno else str(error)
        reason = f"can't listen on port {settings.port}: {why.lower()}"
        raise CannotDoError(
            reason, next_step="choose another with --port, or end the bench that runs there"
        ) from error


def lan_address() -> str | None:
    """Return the address that this machine has on its network; None where it has none."""

    async def asked() -> str | None:
        loop = asyncio.get_running_loop()
        transport, _ = await loop.create_datagram_endpoint(asyncio.DatagramProtocol, remote_addr=_NOWHERE)
        try:
            return str(transport.get_extra_info("sockname")[0])
        finally:
            transport.close()

    try:
        return asyncio.run(asked())
    except OSError:
        return None


def on_the_shelf(url: str | None, job: Path, who: str) -> str:
    """Return the id under which a job file is on the shelf; it is put there where it is not yet.

    Parameters
    ----------
    url : str or None
        Address of the shelf.
    job : Path
        The file; those that it names come along.
    who : str
        Who puts it there.
    """
    try:
        data = job.read_bytes()
    except OSError as error:
        raise CannotDoError(
            f"can't read {job}: {(error.strerror or str(error)).lower()}",
            next_step="name a file that is there",
        ) from error
    text = api.decode_job(data, str(job))
    files = api.files_beside(text, job.parent)
    with api.open_shelf(url) as shelf:
        for each in shelf.jobs(limit=200):
            newest = shelf.revision(each.id)
            if newest.text == text and dict(newest.files) == files:
                return each.id
        return shelf.new(text, who, f"from {job.name}", files).job_id


def _secret(path: Path) -> bytes:
    found = _read(path) if path.is_file() else b""
    if len(found) != _SECRET_BYTES:
        found = secrets.token_bytes(_SECRET_BYTES)
        _write(path, found)
    return found


def _read(path: Path) -> bytes:
    return _or_told(path, "read", path.read_bytes)


def _write(path: Path, data: bytes) -> None:
    def written() -> bytes:
        new = path.with_name(f"{path.name}.new")
        new.unlink(missing_ok=True)
        with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as opened:
            opened.write(data)
        new.replace(path)
        return b""

    _or_told(path, "write", written)


def _or_told(path: Path, what: str, do: Callable[[], bytes]) -> bytes:
    try:
        return do()
    except OSError as error:
        reason = f"can't {what} {path}: {(error.strerror or str(error)).lower()}"
        raise CannotDoError(reason, next_step="set GROUNDSTRAP_DATA to a folder of yours") from error

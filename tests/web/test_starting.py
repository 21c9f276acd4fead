"""How a bench is begun: its key, its passphrase, a job file put on the shelf, and what it asks of nobody."""

from __future__ import annotations

import os
import signal
import socket
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from groundstrap import api, web
from groundstrap.cli import main
from groundstrap.errors import CannotDoError
from tests.support.bench import LAMP, free_port, visitor

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("GROUNDSTRAP_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("GROUNDSTRAP_WHO", "Ada")
    return tmp_path / "data"


def started(monkeypatch: pytest.MonkeyPatch, *args: str, given: str = "") -> tuple[Any, list[web.Settings]]:
    served: list[web.Settings] = []
    monkeypatch.setattr(
        web, "serve", lambda settings, ready: (served.append(settings), ready()), raising=False
    )
    return CliRunner().invoke(main, ["bench", "--no-open", *args], input=given), served


def test_alone_it_listens_to_this_machine_only(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done, (settings,) = started(monkeypatch)
    assert done.exit_code == 0
    assert (settings.host, settings.shared) == ("127.0.0.1", False)
    assert stat.S_IMODE((folder / "bench.key").stat().st_mode) == 0o600
    again = started(monkeypatch)[1][0]
    assert again.secret == settings.secret
    assert len(settings.secret) == 32


def test_shared_it_asks_for_a_passphrase_and_keeps_its_hash_alone(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    done, (settings,) = started(monkeypatch, "--share", given="four words of mine\n")
    assert done.exit_code == 0, done.output
    assert settings.shared
    assert "192.168.0.9" not in settings.names
    kept = (folder / "bench.passphrase").read_text(encoding="utf-8")
    assert kept.startswith("$argon2id$")
    assert "words" not in kept
    assert stat.S_IMODE((folder / "bench.passphrase").stat().st_mode) == 0o600
    # The second time nothing is asked for, unless a new one is wanted.
    assert started(monkeypatch, "--share")[1][0].passphrase_hash == kept
    assert (
        started(monkeypatch, "--share", "--new-passphrase", given="four other words\n")[1][0].passphrase_hash
        != kept
    )


def test_a_short_passphrase_is_refused(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    done, served = started(monkeypatch, "--share", given="short\n")
    assert (done.exit_code, served) == (2, [])
    assert not (folder / "bench.passphrase").exists()


def test_a_passphrase_never_stands_on_the_command_line() -> None:
    bench = main.commands["bench"]  # type: ignore[attr-defined]
    values = [option for option in bench.params if getattr(option, "is_flag", False) is False]
    assert not [option.name for option in values if "pass" in str(option.name)]


def test_a_job_file_is_put_on_the_shelf_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = tmp_path / "lamp.job.yaml"
    job.write_text(LAMP + "stock: stock.csv\n", encoding="utf-8")
    (tmp_path / "stock.csv").write_text("kind,size\nwire,2.5 mm2\n", encoding="utf-8")
    told = [started(monkeypatch, str(job))[0].output for _ in range(2)]
    with api.open_shelf() as shelf:
        (only,) = shelf.jobs()
        assert all(f"/jobs/{only.id}" in each for each in told)
        assert dict(shelf.revision(only.id).files) == {"stock.csv": "kind,size\nwire,2.5 mm2\n"}


def test_a_file_that_is_not_there_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    done, served = started(monkeypatch, "nothing.job.yaml")
    assert (done.exit_code, served) == (3, [])
    assert "nothing.job.yaml" in done.output


def test_a_port_that_is_taken_is_said_with_what_to_do() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        settings = web.prepared(shelf=None, port=taken.getsockname()[1], shared=False, workers=1)
        with pytest.raises(CannotDoError, match="--port"):
            web.serve(settings)


def test_planning_loads_nothing_that_a_plan_does_not_need() -> None:
    """Each module that is read costs a start half a millisecond: what others ask for is read by them."""
    code = (
        "import sys; from groundstrap import api; import groundstrap.cli; "
        f"api.plan_text(api.plan(api.read_job({LAMP!r}))); print(*sys.modules)"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    run = [sys.executable, "-c", code]
    done = subprocess.run(run, check=True, env=environment, capture_output=True, text=True)
    loaded = set(done.stdout.split())
    of_bench = {"fastapi", "starlette", "uvicorn", "pydantic", "jinja2", "sqlalchemy", "argon2", "PIL"}
    others = {"asyncio", "highspy", "multiprocessing", "numba", "rich", "scipy", "segno", "typst"}
    assert not loaded & (of_bench | others)
    ours = {name.split(".")[1] for name in loaded if name.count(".") > 1 and name.startswith("groundstrap.")}
    assert not ours & {"draw", "endure", "locate", "pack", "screen", "shelf", "web"}
    late = ("job.describe", "job.edits", "job.new", "job.pins", "report.lookup_text")
    late += ("report.plan_json", "report.vet_json", "report.vet_text", "checks.needs.readings_taken")
    assert not loaded & {f"groundstrap.{name}" for name in late}


_WATCHED = """
import sys
seen = []
def watch(event, args):
    if event in {'socket.connect', 'socket.sendto', 'socket.getaddrinfo', 'socket.gethostbyname'}:
        seen.append((event, args))
        told = str(args)
        if not any(own in told for own in ("127.0.0.1", "None", "/")):
            print('OUTSIDE', event, told, file=sys.stderr, flush=True)
sys.addaudithook(watch)
import pathlib
from groundstrap import web
from tests.support.bench import running, visitor, LAMP
if __name__ == '__main__':
    with running(pathlib.Path(sys.argv[1])) as address, visitor(address) as client:
        for method, path, body in (
            ('GET', '/', None), ('GET', '/terms', None), ('GET', '/rules', None),
            ('POST', '/api/answers', {'text': LAMP}), ('POST', '/api/jobs', {'text': LAMP}),
            ('POST', '/api/drawings', {'text': LAMP}), ('GET', '/api/jobs', None),
        ):
            assert client.request(method, path, json=body).status_code < 400, path
    print('asked', len(seen))
"""


def test_the_server_asks_nobody_outside_this_machine(tmp_path: Path) -> None:
    script = tmp_path / "watched.py"
    script.write_text(_WATCHED, encoding="utf-8")
    environment = {
        **os.environ,
        "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}",
        # Nothing that the environment says makes it tell anybody anything.
        "FASTAPI_OTEL_AUTO_CONFIGURE": "true",
        "OTEL_EXPORTER_OTLP_ENDPOINT": "http://192.0.2.9:4318",
    }
    run = [sys.executable, str(script), str(tmp_path)]
    done = subprocess.run(run, check=False, env=environment, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert "OUTSIDE" not in done.stderr
    assert done.stdout.startswith("asked ")


def test_without_its_extra_the_bench_says_what_to_install() -> None:
    code = (
        "import sys; sys.modules['fastapi'] = None; "
        "from groundstrap.cli import main; main(['bench', '--no-open'])"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    run = [sys.executable, "-c", code]
    done = subprocess.run(run, check=False, env=environment, capture_output=True, text=True)
    assert done.returncode == 2
    assert "pip install 'groundstrap[bench]'" in done.stderr


def test_the_command_serves_until_it_is_interrupted() -> None:
    port = free_port()
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    run = [sys.executable, "-m", "groundstrap.cli", "bench", "--no-open", "--port", str(port)]
    how: dict[str, Any] = {"env": environment, "stderr": subprocess.PIPE, "text": True}
    with subprocess.Popen(run, start_new_session=True, **how) as process:
        assert process.stderr is not None
        assert f"http://127.0.0.1:{port}/" in process.stderr.readline()
        with visitor(f"http://127.0.0.1:{port}") as client:
            assert client.get("/").status_code == 200
            assert "server" not in client.get("/api/session").headers
        # To all of its processes, as a terminal does it.
        os.killpg(process.pid, signal.SIGINT)
        told = process.stderr.read()
        assert process.wait(20) == 0
    assert "Traceback" not in told
    assert "has ended" in told

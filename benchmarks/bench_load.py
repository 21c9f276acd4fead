"""Fifty people at one shared bench: edits answered, jobs saved, nothing lost; and the first page's weight.

A real bench is started as a command, with its own shelf in a temporary folder; everybody signs in with the
passphrase and keeps a job of twelve circuits. Then, for a minute, each changes a length or a claim every few
seconds, asks for the answer as the page does (each text is a new one, so that no answer is remembered), and
saves now and then. At the end every save that was acknowledged must be on the shelf, as it was sent.
"""

from __future__ import annotations

import http.client
import json
import os
import random
import re
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
TEXT = (ROOT / "examples" / "hive-pickup.job.yaml").read_text(encoding="utf-8")
PASSPHRASE = "four words for measuring"
USERS = int(os.environ.get("USERS", "50"))
SECONDS = float(os.environ.get("SECONDS", "60"))
PAUSE_S = (4.0, 8.0)
EDITS_A_SAVE = 4
LIMIT_P95_S = 0.5


class Browser:
    """One visitor: a connection that is kept, the cookie, the token."""

    def __init__(self, port: int) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        self.cookies: dict[str, str] = {}
        self.token = ""

    def ask(
        self, method: str, path: str, body: object = None, accept: str = "application/json"
    ) -> tuple[int, bytes]:
        """Ask, and return status and body."""
        headers = {"Accept": accept, "X-CSRF-Token": self.token, "Accept-Encoding": "gzip"}
        if self.cookies:
            headers["Cookie"] = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        if body is not None:
            headers["Content-Type"] = "application/json"
        self.connection.request(method, path, json.dumps(body) if body is not None else None, headers)
        answer = self.connection.getresponse()
        for told in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = told.partition(";")[0].partition("=")
            self.cookies[name] = value
        return answer.status, answer.read()

    def sign_in(self, who: str) -> None:
        """Come in with the passphrase."""
        self.token = json.loads(self.ask("GET", "/api/session")[1])["token"]
        status, body = self.ask("POST", "/api/session", {"passphrase": PASSPHRASE, "who": who})
        assert status == 200, body
        self.token = json.loads(body)["token"]

    def rest(self) -> None:
        """Close the connection, which the next question opens again: others still have to come in."""
        self.connection.close()


class User(threading.Thread):
    """One person: edits, looks at the answer, saves now and then."""

    def __init__(self, number: int, port: int, begin: threading.Barrier) -> None:
        super().__init__(daemon=True)
        self.number, self.begin = number, begin
        self.rng = random.Random(number)
        self.browser = Browser(port)
        self.answers_s: list[float] = []
        self.saves_s: list[float] = []
        self.wrong: list[str] = []
        self.acknowledged: dict[int, str] = {}
        self.browser.sign_in(f"user {number}")
        self.text = TEXT
        made = self._told(self.browser.ask("POST", "/api/jobs", {"text": TEXT}), 201)
        self.job, self.based_on = made["job_id"], made["number"]
        self.browser.rest()

    def _told(self, answer: tuple[int, bytes], wanted: int) -> Any:
        status, body = answer
        if status != wanted:
            self.wrong.append(f"{status}: {body[:200]!r}")
            return {}
        return json.loads(body)

    def run(self) -> None:
        """Work until the time is over."""
        self.begin.wait()
        till = time.monotonic() + SECONDS
        time.sleep(self.rng.uniform(0, PAUSE_S[1]))
        edits = 0
        while time.monotonic() < till:
            edits += 1
            self.text = self._edited()
            self._look()
            if edits % EDITS_A_SAVE == 0:
                self._save()
            time.sleep(self.rng.uniform(*PAUSE_S))
        self._save()

    def _edited(self) -> str:
        """The text with another length of a circuit, which changes wires, drops and fuses."""
        spots = list(re.finditer(r"(?<=length: )(\d+(?:\.\d+)?) m\b", self.text))
        spot = self.rng.choice(spots)
        # The number of the user in the last digits: no two texts are the same.
        length = f"{self.rng.uniform(0.5, 6.0):.2f}{self.number:02d}{self.rng.randrange(100):02d} m"
        return self.text[: spot.start()] + length + self.text[spot.end() :]

    def _look(self) -> None:
        start = time.perf_counter()
        question = {"text": self.text, "job": self.job, "language": "en"}
        status, body = self.browser.ask("POST", "/api/answers", question, accept="text/html")
        self.answers_s.append(time.perf_counter() - start)
        if status != 200 or b"<" not in body:
            self.wrong.append(f"{status}: {body[:200]!r}")

    def _save(self) -> None:
        start = time.perf_counter()
        wanted = {"text": self.text, "based_on": self.based_on, "note": "measured"}
        told = self._told(self.browser.ask("PUT", f"/api/jobs/{self.job}", wanted), 200)
        self.saves_s.append(time.perf_counter() - start)
        if told:
            self.based_on = told["number"]
            self.acknowledged[told["number"]] = self.text

    def lost(self) -> int:
        """How many acknowledged saves are not on the shelf as they were sent."""
        gone = 0
        for number, text in self.acknowledged.items():
            told = self._told(self.browser.ask("GET", f"/api/jobs/{self.job}/revisions/{number}"), 200)
            gone += told.get("text") != text
        return gone


def _free_port() -> int:
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])


def _started(folder: Path, port: int) -> tuple[subprocess.Popen[str], float]:
    """The bench as a command, once it says that it is there. [s]"""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "GROUNDSTRAP_DATA": str(folder)}
    command = [sys.executable, "-m", "groundstrap.cli", "bench", "--share", "--no-open", "--port", str(port)]
    start = time.perf_counter()
    pipe = subprocess.PIPE
    process = subprocess.Popen(
        command, stdin=pipe, stderr=pipe, env=environment, text=True, start_new_session=True
    )
    assert process.stdin is not None
    assert process.stderr is not None
    process.stdin.write(PASSPHRASE + "\n")
    process.stdin.close()
    line = process.stderr.readline()
    if "the bench is at" not in line:
        raise SystemExit(line + process.stderr.read())
    threading.Thread(target=process.stderr.read, daemon=True).start()
    return process, time.perf_counter() - start


def _first_load(browser: Browser) -> str:
    """What the first page weighs with all that it loads, and how long that takes."""
    start = time.perf_counter()
    status, page = browser.ask("GET", "/", accept="text/html")
    assert status == 200
    own = sorted(set(re.findall(rb'(?:src|href)="(/static/[^"]+)"', page)))
    parts = {"/": len(page)}
    for each in own:
        status, body = browser.ask("GET", each.decode(), accept="*/*")
        assert status == 200, each
        parts[each.decode().rpartition("/")[2]] = len(body)
    took = time.perf_counter() - start
    told = ", ".join(f"{name} {size / 1000:.1f} kB" for name, size in parts.items())
    whole = f"{sum(parts.values()) / 1000:.1f} kB in {len(parts)} requests, {took * 1000:.0f} ms"
    return f"{whole} ({told}); limit 300 kB, 1 s"


def _family(pid: int) -> list[int]:
    """A process and all that it started."""
    found, waiting = [], [pid]
    while waiting:
        found.append(waiting.pop())
        for task in Path(f"/proc/{found[-1]}/task").iterdir():
            waiting += [int(child) for child in (task / "children").read_text().split()]
    return found


def _memory_mb(pids: list[int]) -> float:
    """Resident memory of processes. [MB]"""
    told = [Path(f"/proc/{pid}/status").read_text(encoding="ascii") for pid in pids]
    return sum(int(kilobytes) for each in told for kilobytes in re.findall(r"VmRSS:\s+(\d+)", each)) / 1024


def _used_s(pids: list[int]) -> float:
    """Processor time that processes have used. [s]"""
    told = [Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split() for pid in pids]
    return sum(int(each[11]) + int(each[12]) for each in told) / os.sysconf("SC_CLK_TCK")


def _p95_s(times_s: list[float]) -> float:
    return sorted(times_s)[int(0.95 * (len(times_s) - 1))]


def _shown(name: str, times_s: list[float]) -> str:
    middle, most = statistics.median(times_s), max(times_s)
    told = ", ".join(
        f"{what} {each * 1000:.0f} ms"
        for what, each in (("median", middle), ("p95", _p95_s(times_s)), ("most", most))
    )
    return f"{name}: {len(times_s)}, {told}"


def _minute(users: list[User], pid: int) -> bool:
    """Let everybody work, print what came of it, and return whether it was as it must be."""
    for each in users:
        each.start()
    family = _family(pid)
    before_s = _used_s(family)
    users[0].begin.wait()
    for each in users:
        each.join()
    used_s = _used_s(family) - before_s
    answers = [second for each in users for second in each.answers_s]
    saves = [second for each in users for second in each.saves_s]
    lost = sum(each.lost() for each in users)
    wrong = [line for each in users for line in each.wrong]
    kept = sum(len(each.acknowledged) for each in users)
    print(f"{USERS} users, {SECONDS:.0f} s, an edit every {PAUSE_S[0]:.0f} to {PAUSE_S[1]:.0f} s each")
    print(f"{_shown('answers', answers)} (limit of p95 {LIMIT_P95_S * 1000:.0f} ms)")
    print(_shown("saves", saves))
    print(f"errors {len(wrong)}, acknowledged saves {kept}, lost {lost}")
    memory_mb = _memory_mb(family)
    each_ms = used_s / len(answers) * 1000
    print(f"the bench used {used_s:.1f} s of processor ({each_ms:.0f} ms an edit), {memory_mb:.0f} MB")
    for line in wrong[:5]:
        print("  ", line)
    return not wrong and not lost


def main() -> None:
    """Measure and print; ends with 1 where something was lost or went wrong."""
    with tempfile.TemporaryDirectory() as name:
        port = _free_port()
        process, ready_s = _started(Path(name), port)
        try:
            begin = threading.Barrier(USERS + 1)
            users = [User(number, port, begin) for number in range(USERS)]
            print(f"bench ready after {ready_s:.1f} s; first load {_first_load(users[0].browser)}")
            good = _minute(users, process.pid)
        finally:
            os.killpg(process.pid, signal.SIGINT)
            process.wait(20)
    raise SystemExit(0 if good else 1)


if __name__ == "__main__":
    main()

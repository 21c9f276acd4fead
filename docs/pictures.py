"""Makes the pictures of the README from the examples, their packs and the page: small, they are committed.

Run it when a drawing or a sheet has changed its looks:

    python docs/pictures.py
"""

from __future__ import annotations

import io
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path
from typing import Final

import pypdfium2
from PIL import Image
from playwright.sync_api import Page, sync_playwright

from groundstrap import api

HERE: Final = Path(__file__).resolve().parent
EXAMPLES: Final = HERE.parent / "examples"
WIDE_PX: Final = 1000
PICTURES: Final = {
    "drawing.png": ("hive-pickup.job.yaml", "drawing", 1),
    "fuse-map.png": ("hive-pickup.job.yaml", "fuses", 0),
}
"""File name -> job, section, page of it."""
PAGES: Final = {
    "page-write.png": ("", 1280, 820),
    "page-circuit.png": ("/circuit/honey%20warmer", 390, 844),
}
"""File name -> where on the page, width and height of the window."""
_BROWSER: Final = "/usr/bin/chromium"
_PORT: Final = 8431
_GREYS: Final = 16


def png(pixels: bytes, wide: int, high: int) -> bytes:
    """Return a picture of sixteen greys: the pages have no colour, and four bits a pixel are small."""
    rows = bytearray()
    for row in range(high):
        line = pixels[row * wide : (row + 1) * wide] + b"\xff" * (wide % 2)
        shades = bytes(value * (_GREYS - 1) // 255 for value in line)
        pairs = zip(shades[::2], shades[1::2], strict=True)
        rows += b"\0" + bytes(left << 4 | right for left, right in pairs)
    head = struct.pack(">IIBBBBB", wide, high, 4, 0, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(bytes(rows), 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, data) for kind, data in chunks)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def picture(pdf: bytes, page: int) -> bytes:
    """Return one page of a PDF, without the empty paper below what stands on it."""
    read = pypdfium2.PdfDocument(pdf)[page]
    drawn = read.render(scale=WIDE_PX / read.get_width(), grayscale=True)
    wide, stride = drawn.width, drawn.stride
    raw = bytes(drawn.buffer)
    lines = [raw[row * stride : row * stride + wide] for row in range(drawn.height)]
    foot = int(drawn.height * 0.94)  # where the fingerprint stands
    last = max(row for row in range(foot) if min(lines[row]) < 255)
    kept = lines[: min(drawn.height, last + 20)]
    return png(b"".join(kept), wide, len(kept))


def few_colours(shot: bytes) -> bytes:
    """Return a picture of the page with as many colours as it needs to look the same."""
    small = Image.open(io.BytesIO(shot)).convert("RGB").quantize(48)
    kept = io.BytesIO()
    small.save(kept, "PNG", optimize=True)
    return kept.getvalue()


def _shot(page: Page, job: str, where: str, size: tuple[int, int]) -> bytes:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(job + where, wait_until="networkidle")
    return few_colours(page.screenshot())


def pictures_of_the_page(images: Path) -> None:
    """Open the first example on a bench of its own and take what is seen."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        shelf, example = f"sqlite:///{folder}/shelf.db", EXAMPLES / "hive-pickup.job.yaml"
        call = [sys.executable, "-m", "groundstrap.cli", "bench", str(example), "--no-open"]
        with subprocess.Popen(
            [*call, "--shelf", shelf, "--port", str(_PORT)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        ) as bench:
            assert bench.stdout is not None
            job = next(word for word in bench.stdout.readline().split() if word.startswith("http")).rstrip(
                ";"
            )
            browser = play.chromium.launch(executable_path=_BROWSER, args=["--no-sandbox", "--disable-gpu"])
            for file, (where, wide, high) in PAGES.items():
                (images / file).write_bytes(_shot(browser.new_page(), job, where, (wide, high)))
            browser.close()
            bench.terminate()


def main() -> None:
    """Write all pictures."""
    folder = HERE / "images"
    folder.mkdir(exist_ok=True)
    for name, (job, section, page) in PICTURES.items():
        files = api.pack(api.plan(api.read_job_file(EXAMPLES / job)), only=(section,))
        (folder / name).write_bytes(picture(files["pack.pdf"], page))
    pictures_of_the_page(folder)


if __name__ == "__main__":
    main()

"""Makes the pictures of the README from the packs of the examples: small ones, for they are committed.

Run it when a drawing or a sheet has changed its looks:

    python docs/pictures.py
"""

from __future__ import annotations

import struct
import zlib
from pathlib import Path
from typing import Final

import pypdfium2

from groundstrap import api

HERE: Final = Path(__file__).resolve().parent
EXAMPLES: Final = HERE.parent / "examples"
WIDE_PX: Final = 1000
PICTURES: Final = {
    "drawing.png": ("hive-pickup.job.yaml", "drawing", 1),
    "fuse-map.png": ("hive-pickup.job.yaml", "fuses", 0),
}
"""File name -> job, section, page of it."""
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


def main() -> None:
    """Write all pictures."""
    folder = HERE / "images"
    folder.mkdir(exist_ok=True)
    for name, (job, section, page) in PICTURES.items():
        files = api.pack(api.plan(api.read_job_file(EXAMPLES / job)), only=(section,))
        (folder / name).write_bytes(picture(files["pack.pdf"], page))


if __name__ == "__main__":
    main()

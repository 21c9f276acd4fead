"""Photos made anew: upright, of a sensible size, and without what a camera writes beside the picture."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Final

from PIL import Image, ImageOps

from groundstrap.errors import CallError
from groundstrap.words import words

__all__ = ["LARGEST_UPLOAD", "clean_photo"]

LARGEST_UPLOAD: Final = 25_000_000
"""Bytes of a picture as it comes from a camera."""
_MOST_PIXELS: Final = 60_000_000
_LONGEST_SIDE: Final = 2_000
_FORMATS: Final = ("JPEG", "PNG", "WEBP")
# Whatever a damaged or made-up picture does to a decoder is the picture's fault.
_DAMAGED: Final = (
    ArithmeticError,
    AttributeError,
    BufferError,
    EOFError,
    LookupError,
    MemoryError,
    OSError,
    RuntimeError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
_WANTED: Final = words("a JPEG, PNG or WebP, as a phone sends it when asked for the most compatible kind")


def clean_photo(data: bytes) -> bytes:
    """Return a picture as a JPEG that was made anew: no place, no serial number, nothing hidden in it.

    Parameters
    ----------
    data : bytes
        A JPEG, PNG or WebP of whatever size.

    Raises
    ------
    CallError
        It is none of these, is damaged, or too large.
    """
    if len(data) > LARGEST_UPLOAD:
        raise CallError(
            words("the photo has {count} bytes", count=len(data)),
            wanted=words("at most {count}", count=LARGEST_UPLOAD),
        )
    try:
        return _made_anew(data)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_large() from None
    except _DAMAGED as error:
        raise CallError(words("the photo can't be read as a picture"), wanted=_WANTED) from error


def _made_anew(data: bytes) -> bytes:
    with Image.open(io.BytesIO(data), formats=_FORMATS) as image:
        if image.width * image.height > _MOST_PIXELS:
            raise Image.DecompressionBombError
        image.draft("RGB", (_LONGEST_SIDE, _LONGEST_SIDE))
        upright = ImageOps.exif_transpose(image)
        upright.thumbnail((_LONGEST_SIDE, _LONGEST_SIDE))
        if upright.mode in {"RGBA", "LA", "PA"} or "transparency" in upright.info:
            paper = Image.new("RGBA", upright.size, "white")
            upright = Image.alpha_composite(paper, upright.convert("RGBA"))
        made = io.BytesIO()
        # A new picture takes nothing along but its pixels.
        plain = Image.new("RGB", upright.size)
        plain.paste(upright.convert("RGB"))
        plain.save(made, "JPEG", quality=85)
        return made.getvalue()


def _too_large() -> CallError:
    return CallError(
        words("the photo has too many pixels"),
        wanted=words("at most {count} megapixels", count=_MOST_PIXELS // 1_000_000),
    )

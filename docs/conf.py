"""How Sphinx builds these pages: offline, strict, with the reference pages made from the code first."""

from __future__ import annotations

import logging
import sys
from pathlib import Path
from typing import TYPE_CHECKING

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "src")]

import generate  # noqa: E402  found through the path set above
import groundstrap  # noqa: E402

if TYPE_CHECKING:
    from sphinx.application import Sphinx

# It tells what it sets up, which is no news of this build.
logging.getLogger("alembic").setLevel(logging.WARNING)

project = "Groundstrap"
author = "Groundstrap maintainers"
copyright = "Groundstrap maintainers"
version = release = groundstrap.__version__

extensions = ["myst_parser"]
myst_heading_anchors = 3
exclude_patterns = ["_build"]
nitpicky = True

html_theme = "furo"
html_title = f"Groundstrap {release}"
html_copy_source = False
html_show_sphinx = False


def make_reference_pages(_app: Sphinx) -> None:
    """Write docs/reference/ from the code, so that no page can be older than what it describes."""
    generate.write(HERE / "reference")


def setup(app: Sphinx) -> None:
    """What Sphinx calls when it starts."""
    app.connect("builder-inited", make_reference_pages)

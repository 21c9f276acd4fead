"""What a screen shows of an answer, in words and pictures; the only thing a page knows of one."""

from __future__ import annotations

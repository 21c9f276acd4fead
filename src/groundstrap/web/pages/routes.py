"""The routes that give pages."""

from __future__ import annotations

from fastapi import APIRouter

__all__ = ["router"]

router = APIRouter(include_in_schema=False)

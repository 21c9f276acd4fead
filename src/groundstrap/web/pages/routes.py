"""The routes of the pages; workers make parts of pages without any of this."""

from __future__ import annotations

from fastapi import APIRouter

from groundstrap.web.pages import days, home, jobs, looking, meter, removed, visits, ways

__all__ = ["router"]

router = APIRouter(include_in_schema=False)
for _each in (home, jobs, days, meter, visits, ways, looking, removed):
    router.include_router(_each.router)

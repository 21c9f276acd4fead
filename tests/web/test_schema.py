"""The API against its own description: no failure of ours, and answers of the shape it says."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final

import httpx
import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_schema_conformance,
    status_code_conformance,
)

from groundstrap.web import Settings, create_app
from tests.support.bench import LAMP, PLENTY

DESCRIBED: Final[dict[str, Any]] = json.loads(
    json.dumps(create_app(Settings(secret=b"k" * 32, shelf="sqlite://", limits=PLENTY)).openapi())
)
# Its own tests look at who may come in; here everybody does, with a cookie and a token.
del DESCRIBED["components"]["securitySchemes"]
for _operations in DESCRIBED["paths"].values():
    for _operation in _operations.values():
        del _operation["security"]
CHECKS: Final = (
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
    negative_data_rejection,
)
# In the parts of a form everything is a text, so that none is of a wrong type.
UPLOADS: Final = ("/import", "/photos")
SCHEMA: Final = schemathesis.openapi.from_dict(DESCRIBED)


@pytest.fixture(scope="session")
def a_job(api: httpx.Client) -> str:
    return str(api.post("/api/jobs", json={"text": LAMP}).json()["job_id"])


def deeper(case: schemathesis.Case, job: str) -> None:
    """Put a real text and a real job in the place of every other one, or hardly anything would be planned."""
    if case.meta is not None and not case.meta.generation.mode.is_positive:
        return
    body = case.body
    if isinstance(body, Mapping):
        names = [name for name in ("text", "left", "right") if isinstance(body.get(name), str)]
        case.body = {**body, **{name: LAMP for name in names if len(body[name]) % 2}}
    if isinstance(case.path_parameters, dict) and "job_id" in case.path_parameters:
        case.path_parameters["job_id"] = job


@SCHEMA.parametrize()
@settings(
    max_examples=4, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck)
)
def test_the_api_is_as_it_is_described(
    case: schemathesis.Case, api: httpx.Client, bench: str, a_job: str
) -> None:
    if case.method != "DELETE":
        deeper(case, a_job)
    cookies = "; ".join(f"{name}={value}" for name, value in api.cookies.items())
    headers = {"X-CSRF-Token": api.headers["X-CSRF-Token"], "Cookie": cookies}
    checks = [
        each for each in CHECKS if each is not negative_data_rejection or not case.path.endswith(UPLOADS)
    ]
    case.call_and_validate(base_url=bench, headers=headers, checks=checks)

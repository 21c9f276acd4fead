"""What a search looks at, made from the texts that are there."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from alembic import op

from groundstrap.shelf.facts import facts_of, folded

__all__ = ["down_revision", "revision", "upgrade"]

revision: Final = "0003"
down_revision: Final = "0002"

_JOB: Final = sa.table(
    "shelf_job", *(sa.column(name) for name in ("id", "latest", "vehicle", "words", "vehicle_words"))
)
_REVISION: Final = sa.table("shelf_revision", *(sa.column(name) for name in ("job_id", "number", "text")))


def upgrade() -> None:
    """Add the words of every job."""
    for name in ("words", "vehicle_words"):
        op.add_column("shelf_job", sa.Column(name, sa.Text, nullable=False, server_default=""))
    connection = op.get_bind()
    newest = sa.and_(_REVISION.c.job_id == _JOB.c.id, _REVISION.c.number == _JOB.c.latest)
    ids = connection.scalars(sa.select(_JOB.c.id)).all()
    for job_id in ids:
        wanted = sa.select(_REVISION.c.text, _JOB.c.vehicle).join(_JOB, newest).where(_JOB.c.id == job_id)
        text, vehicle = connection.execute(wanted).one()
        values = {"words": facts_of(text).words, "vehicle_words": folded(vehicle)}
        connection.execute(sa.update(_JOB).where(_JOB.c.id == job_id).values(values))

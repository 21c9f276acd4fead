"""Visits with a meter: what was found as built, and what later visits found."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from alembic import op

__all__ = ["down_revision", "revision", "upgrade"]

revision: Final = "0004"
down_revision: Final = "0003"


def upgrade() -> None:
    """Make the tables of visits."""
    op.create_table(
        "shelf_visit",
        sa.Column("job_id", sa.Text, sa.ForeignKey("shelf_job.id"), primary_key=True),
        sa.Column("day", sa.Text, primary_key=True),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("when_utc", sa.DateTime(timezone=True), nullable=False),
        sa.Column("note", sa.Text, nullable=False),
    )
    op.create_table(
        "shelf_visit_place",
        sa.Column("job_id", sa.Text, primary_key=True),
        sa.Column("day", sa.Text, primary_key=True),
        sa.Column("red", sa.Text, primary_key=True),
        sa.Column("black", sa.Text, primary_key=True),
        sa.Column("place", sa.Text),
        sa.Column("ohm", sa.Double, nullable=False),
        sa.Column("standard_ohm", sa.Double, nullable=False),
        sa.Column("usual_ohm", sa.Double, nullable=False),
        sa.Column("limit_ohm", sa.Double),
        sa.Column("current_a", sa.Double, nullable=False),
        sa.Column("read", sa.Text, nullable=False),
        sa.Column("mended", sa.Boolean, nullable=False),
        sa.ForeignKeyConstraint(["job_id", "day"], ["shelf_visit.job_id", "shelf_visit.day"]),
    )

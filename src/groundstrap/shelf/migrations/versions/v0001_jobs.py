"""Jobs, their revisions, and the files beside them."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from alembic import op

__all__ = ["down_revision", "revision", "upgrade"]

revision: Final = "0001"
down_revision: Final = None

_TIME: Final = sa.DateTime(timezone=True)


def upgrade() -> None:
    """Make the first tables."""
    _jobs()
    _files()


def _jobs() -> None:
    op.create_table(
        "shelf_job",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("vehicle", sa.Text, nullable=False),
        sa.Column("latest", sa.Integer, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("begun_utc", _TIME, nullable=False),
        sa.Column("changed_utc", _TIME, nullable=False),
        sa.Column("removed_utc", _TIME),
        sa.Column("removed_by", sa.Text, nullable=False),
    )
    op.create_index("shelf_job_changed", "shelf_job", ["changed_utc", "id"])
    op.create_table(
        "shelf_revision",
        sa.Column("job_id", sa.Text, sa.ForeignKey("shelf_job.id"), primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("when_utc", _TIME, nullable=False),
        sa.Column("note", sa.Text, nullable=False),
        sa.Column("fingerprint", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("vehicle", sa.Text, nullable=False),
        sa.Column("based_on", sa.Integer),
        sa.Column("restored_from", sa.Integer),
    )


def _files() -> None:
    op.create_table(
        "shelf_file",
        sa.Column("sha256", sa.Text, primary_key=True),
        sa.Column("text", sa.Text, nullable=False),
    )
    op.create_table(
        "shelf_revision_file",
        sa.Column("job_id", sa.Text, primary_key=True),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("sha256", sa.Text, sa.ForeignKey("shelf_file.sha256"), nullable=False),
        sa.ForeignKeyConstraint(["job_id", "number"], ["shelf_revision.job_id", "shelf_revision.number"]),
    )

"""Photos of a job."""

from __future__ import annotations

from typing import Final

import sqlalchemy as sa
from alembic import op

__all__ = ["down_revision", "revision", "upgrade"]

revision: Final = "0002"
down_revision: Final = "0001"


def upgrade() -> None:
    """Make the table of photos."""
    op.create_table(
        "shelf_photo",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("job_id", sa.Text, sa.ForeignKey("shelf_job.id"), nullable=False),
        sa.Column("caption", sa.Text, nullable=False),
        sa.Column("who", sa.Text, nullable=False),
        sa.Column("when_utc", sa.DateTime(timezone=True), nullable=False),
        sa.Column("media_type", sa.Text, nullable=False),
        sa.Column("size_bytes", sa.Integer, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
    )
    op.create_index("shelf_photo_job", "shelf_photo", ["job_id", "when_utc"])

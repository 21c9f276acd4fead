"""The tables of the shelf. What they were before, and how to get from there to here, is in `migrations`."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import (
    DateTime,
    Double,
    ForeignKey,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    Text,
    TypeDecorator,
)
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

__all__ = [
    "Base",
    "FileRow",
    "JobRow",
    "PhotoRow",
    "RevisionFileRow",
    "RevisionRow",
    "UtcTime",
    "VisitPlaceRow",
    "VisitRow",
]


class UtcTime(TypeDecorator[datetime]):
    """A moment in UTC; SQLite keeps it without its zone."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give the database UTC."""
        if value is None:
            return None
        moment = value.astimezone(UTC)
        return moment.replace(tzinfo=None) if dialect.name == "sqlite" else moment

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Give whoever reads a moment with its zone."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if dialect.name == "sqlite" else value.astimezone(UTC)


class Base(DeclarativeBase):
    """All tables; their names begin alike, so that a database may hold others beside them."""


class JobRow(Base):
    """A job, with what the list shows of its newest revision, and what a search looks at."""

    __tablename__ = "shelf_job"

    id: Mapped[str] = mapped_column(Text, primary_key=True)
    title: Mapped[str] = mapped_column(Text)
    vehicle: Mapped[str] = mapped_column(Text)
    latest: Mapped[int]
    who: Mapped[str] = mapped_column(Text)
    begun_utc: Mapped[datetime] = mapped_column(UtcTime)
    changed_utc: Mapped[datetime] = mapped_column(UtcTime)
    removed_utc: Mapped[datetime | None] = mapped_column(UtcTime)
    removed_by: Mapped[str] = mapped_column(Text)
    words: Mapped[str] = mapped_column(Text, server_default="")
    vehicle_words: Mapped[str] = mapped_column(Text, server_default="")

    __table_args__ = (Index("shelf_job_changed", "changed_utc", "id"),)


class RevisionRow(Base):
    """One state of a job; the key makes a number of a job impossible to give twice."""

    __tablename__ = "shelf_revision"

    job_id: Mapped[str] = mapped_column(Text, ForeignKey("shelf_job.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    text: Mapped[str] = mapped_column(Text)
    who: Mapped[str] = mapped_column(Text)
    when_utc: Mapped[datetime] = mapped_column(UtcTime)
    note: Mapped[str] = mapped_column(Text)
    fingerprint: Mapped[str] = mapped_column(Text)
    title: Mapped[str] = mapped_column(Text)
    vehicle: Mapped[str] = mapped_column(Text)
    based_on: Mapped[int | None]
    restored_from: Mapped[int | None]


class FileRow(Base):
    """The content of a file beside a job: kept once, however many revisions have it."""

    __tablename__ = "shelf_file"

    sha256: Mapped[str] = mapped_column(Text, primary_key=True)
    text: Mapped[str] = mapped_column(Text)


class RevisionFileRow(Base):
    """Which file a revision has under which name."""

    __tablename__ = "shelf_revision_file"

    job_id: Mapped[str] = mapped_column(Text, primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    name: Mapped[str] = mapped_column(Text, primary_key=True)
    sha256: Mapped[str] = mapped_column(Text, ForeignKey("shelf_file.sha256"))

    __table_args__ = (
        ForeignKeyConstraint(["job_id", "number"], ["shelf_revision.job_id", "shelf_revision.number"]),
    )


class PhotoRow(Base):
    """A picture that belongs to a job."""

    __tablename__ = "shelf_photo"

    id: Mapped[str] = mapped_column(Text, primary_key=True)
    job_id: Mapped[str] = mapped_column(Text, ForeignKey("shelf_job.id"))
    caption: Mapped[str] = mapped_column(Text)
    who: Mapped[str] = mapped_column(Text)
    when_utc: Mapped[datetime] = mapped_column(UtcTime)
    media_type: Mapped[str] = mapped_column(Text)
    size_bytes: Mapped[int]
    data: Mapped[bytes] = mapped_column(LargeBinary)

    __table_args__ = (Index("shelf_photo_job", "job_id", "when_utc"),)


class VisitRow(Base):
    """A day on which a vehicle was measured and its readings were accepted."""

    __tablename__ = "shelf_visit"

    job_id: Mapped[str] = mapped_column(Text, ForeignKey("shelf_job.id"), primary_key=True)
    day: Mapped[str] = mapped_column(Text, primary_key=True)
    revision: Mapped[int]
    who: Mapped[str] = mapped_column(Text)
    when_utc: Mapped[datetime] = mapped_column(UtcTime)
    note: Mapped[str] = mapped_column(Text)


class VisitPlaceRow(Base):
    """What a visit found between two points."""

    __tablename__ = "shelf_visit_place"

    job_id: Mapped[str] = mapped_column(Text, primary_key=True)
    day: Mapped[str] = mapped_column(Text, primary_key=True)
    red: Mapped[str] = mapped_column(Text, primary_key=True)
    black: Mapped[str] = mapped_column(Text, primary_key=True)
    place: Mapped[str | None] = mapped_column(Text)
    ohm: Mapped[float] = mapped_column(Double)
    standard_ohm: Mapped[float] = mapped_column(Double)
    usual_ohm: Mapped[float] = mapped_column(Double)
    limit_ohm: Mapped[float | None] = mapped_column(Double)
    current_a: Mapped[float] = mapped_column(Double)
    read: Mapped[str] = mapped_column(Text)
    mended: Mapped[bool]

    __table_args__ = (ForeignKeyConstraint(["job_id", "day"], ["shelf_visit.job_id", "shelf_visit.day"]),)

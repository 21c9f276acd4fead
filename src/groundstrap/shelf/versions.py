"""Which state a shelf's tables are in, and the way from any earlier one to today's."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from alembic.config import Config
from alembic.runtime.environment import EnvironmentContext
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from groundstrap.errors import CannotDoError

__all__ = ["VERSION_TABLE", "bring_up", "newest", "state_of", "steps"]

VERSION_TABLE: Final = "shelf_version"
_FOLDER: Final = Path(__file__).parent / "migrations"


def _script() -> ScriptDirectory:
    config = Config()
    # The settings are read with % as a sign of their own.
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return ScriptDirectory.from_config(config)


def steps() -> tuple[str, ...]:
    """Return the names of all steps, the earliest first."""
    return tuple(reversed([step.revision for step in _script().walk_revisions()]))


def newest() -> str:
    """Return the name of the last step, by the names of the files alone: each opening asks for it."""
    return max(path.name[1:5] for path in (_FOLDER / "versions").glob("v[0-9]*.py"))


def state_of(connection: Connection) -> str | None:
    """Return the last step that a shelf's tables have made; none where there are no tables yet."""
    context = MigrationContext.configure(connection, opts={"version_table": VERSION_TABLE})
    return context.get_current_revision()


def bring_up(connection: Connection, to: str = "head") -> None:
    """Make every step that a shelf has still before it, inside the transaction that is open.

    Raises
    ------
    CannotDoError
        A later Groundstrap has made steps that this one does not know.
    """
    script = _script()
    known = steps()
    now = state_of(connection)
    if now is not None and now not in known:
        raise CannotDoError(
            f"this shelf was last opened by a later Groundstrap (its tables are at step {now}, "
            f"those of this program at {known[-1]})",
            next_step="update Groundstrap; nothing was changed",
        )

    def upgrade(revision: Any, _: MigrationContext) -> Any:
        return script._upgrade_revs(to, revision)

    with EnvironmentContext(Config(), script, fn=upgrade, destination_rev=to) as environment:
        environment.configure(connection=connection, version_table=VERSION_TABLE)
        environment.run_migrations()

"""What Alembic runs to bring a database up to date: on the connection that it is handed, in one transaction."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    transactional_ddl=True,  # SQLite's tables too come and go with the transaction
)
with context.begin_transaction():
    context.run_migrations()

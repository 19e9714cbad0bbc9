"""Runs the migrations on the connection handed in; sets up no logging and reads no configuration file."""

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    render_as_batch=True,
    transaction_per_migration=False,
)
# The caller began the transaction and holds the lock; it commits when everything has run.
context.run_migrations()

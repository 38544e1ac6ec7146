"""Keeps the book: domain objects in and out of a database, the chain of entries, migrations and backups."""

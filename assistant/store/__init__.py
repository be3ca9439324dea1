"""SQLite: the journal, the food library, migrations. The only room that writes to disk."""

"""The append-only record: events, their fold, the store."""

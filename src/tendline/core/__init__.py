"""Nouns and their invariants: errors, units, ids, time, place, source, grid, line."""

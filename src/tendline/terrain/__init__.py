"""Grids as ground to walk on: walking time, barriers."""

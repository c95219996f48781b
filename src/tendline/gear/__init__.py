"""Loops, builds and parts."""

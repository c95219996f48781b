"""Tendline: one tool for the whole job of tending a line of live-restraint sets."""

__version__ = "0.1.0"

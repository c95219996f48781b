"""Arguments in, text out; reaches the rooms only through jobs."""

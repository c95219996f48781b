"""From record to reader; returns text or bytes, writes nothing."""

"""Pages and messages to phones and browsers; reaches the rooms only through jobs."""

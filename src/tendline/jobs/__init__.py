"""One file per thing a person asks for; the only room with a clock."""

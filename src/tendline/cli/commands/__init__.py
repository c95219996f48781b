"""One file per command: arguments in, one job called, its answer handed back."""

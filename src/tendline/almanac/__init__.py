"""Numbers from published science and common practice; pure; every one with its reference."""

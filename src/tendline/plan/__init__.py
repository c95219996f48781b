"""What to do next: due times and rounds; pure."""

"""What it came to: effort, rates with their ranges, what the misses say; pure."""

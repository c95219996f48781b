"""The invented example: an island that does not exist, its hills, its farms, its two weeks of snow."""

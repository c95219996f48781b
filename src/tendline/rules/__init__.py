"""The law as dated, cited data, and the questions it answers."""

"""Measures, as ratios in one run against a public library or a bound; never a timed test.

Run them all with `make bench`, or one: `python -m benchmarks walk`.
"""

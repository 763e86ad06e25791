"""The invented stable behind ``sample_runs/daybook``: who is in it and what happened to them.

Nobody in it is real. A horse's story is written by hand in `horses`; days that no story fixes are
drawn from a seeded generator, one stream per subject and horse, so that a change in one place
leaves the rest of the daybook as it was.
"""

__all__: list[str] = []

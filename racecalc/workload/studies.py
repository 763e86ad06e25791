"""What studies of exercise and injury counted, in whom, and which way they point."""

from dataclasses import dataclass

__all__ = ["STUDIES", "Study"]


@dataclass(frozen=True)
class Study:
    """A study of ground covered: its key, horses, what it counted over how long, what it found.

    ``more`` tells what went with more of it. An amount that a study singles out is in metres; none
    of them is a limit for one horse.
    """

    key: str
    horses: str
    counted: str
    over: str
    more: str
    fast_m: float | None = None
    canter_m: float | None = None


STUDIES = (
    Study(
        "verheyen_2006",
        "1,178 racehorses, 148 fractures",
        "canter, and gallop above 14 m/s, much of both",
        "30 days",
        "more fractures",
        fast_m=6000.0,
        canter_m=44000.0,
    ),
    Study(
        "estberg_1996",
        "64 horses that died racing, 64 others, California",
        "races and official works",
        "2 months",
        "more fractures",
    ),
    Study(
        "cohen_2000",
        "206 injured horses, 412 others, Kentucky",
        "races and works",
        "1 and 2 months",
        "fewer injuries",
    ),
    Study(
        "crawford_2020",
        "a pooling of studies, evidence weak",
        "fast distance",
        "a career",
        "more injuries",
    ),
    Study(
        "crawford_young_2021",
        "535 two-year-olds, 26 trainers",
        "fast work, each week",
        "56 weeks",
        "fewer injuries",
    ),
    Study(
        "hitchens_2023",
        "plans of 66 trainers, Victoria",
        "fast work at 15.5 to 16.7 m/s of two-year-olds",
        "a training plan",
        "fewer injuries",
    ),
    Study(
        "verheyen_2009",
        "the horses of the first study",
        "gallop and races",
        "30 days before a race",
        "more wins",
    ),
)
"""Studies of exercise and injury or success, which disagree."""

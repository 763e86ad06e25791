"""Sources on ground covered, its speed, and what went with more of it."""

from racecalc.sources.source import Source

__all__ = ["RECORDS"]

_TESTED = ("tests/published/test_exposure.py",)

RECORDS: tuple[Source, ...] = (
    Source(
        key="hitchens_2023",
        authors="Hitchens, Morrice-West and others",
        year=2023,
        title="Intended training of Thoroughbreds and injury (title not seen)",
        where="Frontiers in Veterinary Science 10:1260554, abstract",
        read="READ",
        used_for="the band of fast work, 15.5 to 16.7 m/s, and which way it points",
        tested_in=_TESTED,
    ),
    Source(
        key="verheyen_2009",
        authors="Verheyen and others",
        year=2009,
        title="Exercise before a race and success (title not seen)",
        where="The Veterinary Journal 181:43-47, abstract",
        read="READ",
        used_for="gallop and races before a race, and wins",
        tested_in=_TESTED,
    ),
    Source(
        key="cohen_2000",
        authors="Cohen and others",
        year=2000,
        title="Works, races and injury in Kentucky (title not seen)",
        where="Journal of the American Veterinary Medical Association 216:1273, abstract",
        read="READ",
        used_for="less ground in injured horses: a study that points the other way",
        tested_in=_TESTED,
    ),
    Source(
        key="crawford_2020",
        authors="Crawford and others",
        year=2020,
        title="Fast exercise and injury: a meta-analysis (title not seen)",
        where="Animals 10:2091",
        read="READ",
        used_for="studies of fast distance pooled",
        tested_in=_TESTED,
    ),
    Source(
        key="crawford_young_2021",
        authors="Crawford and others",
        year=2021,
        title="Fast exercise and injury of two-year-olds (title not seen)",
        where="Frontiers in Veterinary Science 8:698298",
        read="READ",
        used_for="fast work of two-year-olds, protective",
        tested_in=_TESTED,
    ),
    Source(
        key="munsters_2020",
        authors="Munsters and others",
        year=2020,
        title="Workload and injury of event horses (title not seen)",
        where="Preventive Veterinary Medicine 179:105010",
        read="READ",
        used_for="a week against four in horses: two weeks that point opposite ways",
        tested_in=_TESTED,
    ),
    Source(
        key="impellizzeri_2020",
        authors="Impellizzeri and others",
        year=2020,
        title="[A critique of the ratio of acute to chronic load; title not seen]",
        where="Sports Medicine, doi 10.1007/s40279-020-01378-6",
        read="READ",
        used_for="the ratio of a week to a month told no more than the week",
        tested_in=_TESTED,
    ),
    Source(
        key="practice_usual_paces",
        authors="[Farm and training pages]",
        year=None,
        title="Walk, jog, canter and gallop: usual paces",
        where="Common practice of the trade",
        read="PRACTICE",
        used_for="the class of speed of ground that nobody timed",
        tested_in=_TESTED,
    ),
)

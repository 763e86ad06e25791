"""Sources on exercise tests: heart rate and blood lactate on speed."""

from racecalc.sources.source import Source

__all__ = ["RECORDS"]

_TESTED = ("tests/published/test_fitness.py",)

RECORDS: tuple[Source, ...] = (
    Source(
        key="gallop_heart_rate_2019",
        authors="[A study of eleven Thoroughbreds; its authors were not seen]",
        year=2019,
        title="[Heart rate on speed at the gallop; title not seen]",
        where="Korean journal article JAKO201912262462412",
        read="READ",
        used_for="heart rate rising as a straight line to its highest; speeds at 140, 180, 200",
        tested_in=_TESTED,
    ),
    Source(
        key="vermeulen_evans_2006",
        authors="Vermeulen, Evans",
        year=2006,
        title="[Repeatability of heart rate and speed in the field; title not seen]",
        where="Equine Veterinary Journal Supplement 36:113-117, abstract",
        read="READ",
        used_for="how far speeds at 200 beats and at the highest rate repeat: within 2 %",
        tested_in=_TESTED,
    ),
    Source(
        key="wilson_mcgowan_2019",
        authors="Wilson, McGowan",
        year=2019,
        title="[Recovery of heart rate after uphill intervals; title not seen]",
        where="Comparative Exercise Physiology 15:307-312",
        read="READ",
        used_for="heart rates a minute after a third uphill gallop, and what the study called them",
        tested_in=_TESTED,
    ),
    Source(
        key="lindner_2010",
        authors="Lindner",
        year=2010,
        title="[Speed at 4 mmol/l and at 200 beats, and racing; title not seen]",
        where="Journal of Animal Science 88:950-954",
        read="READ",
        used_for="how the speed at 4 mmol/l is read: four steps or more, lactate exponential",
        tested_in=_TESTED,
    ),
    Source(
        key="davie_evans_2000",
        authors="Davie, Evans",
        year=2000,
        title="[Blood lactate after 800 m in the field; title not seen]",
        where="The Veterinary Journal 159:252-258",
        read="READ",
        used_for="curves of lactate on speed on sand and grass, and how far repeats differ",
        tested_in=_TESTED,
    ),
    Source(
        key="steady_lactate",
        authors="[A study of steady lactate in Thoroughbreds; authors and journal were not seen]",
        year=None,
        title="The highest steady lactate lies below the speed at 4 mmol/l",
        where="EBSCO 51230980, abstract",
        read="READ",
        used_for="the reminder that V4 is no limit that a horse can hold",
        tested_in=_TESTED,
    ),
)

"""Sources on load over days, on sessions, and on strides."""

from racecalc.sources.source import Source

__all__ = ["RECORDS"]

_TESTED = ("tests/published/test_load.py",)

RECORDS: tuple[Source, ...] = (
    Source(
        key="williams_2017",
        authors="Williams and others",
        year=2017,
        title="[Exponentially weighted against rolling ratios of load; title not seen]",
        where="British Journal of Sports Medicine 51:209-210; the series as an R package holds "
        "them",
        read="READ2",
        used_for="rolling and exponentially weighted load, and the ratio of a week to a month",
        tested_in=_TESTED,
    ),
    Source(
        key="lolli_2019",
        authors="Lolli and others",
        year=2019,
        title="[Coupled and uncoupled ratios of load; title not seen]",
        where="British Journal of Sports Medicine 53:921, as Windt and Gabbett quote it",
        read="READ2",
        used_for="the uncoupled ratio, and the correlation that coupling alone makes",
        tested_in=_TESTED,
    ),
    Source(
        key="foster_2001",
        authors="Foster and others",
        year=2001,
        title="A new approach to monitoring exercise training",
        where="Journal of Strength and Conditioning Research 15:109-115, table 5 and figure 2",
        read="READ",
        used_for="session load, monotony and strain, and the score of five zones",
        tested_in=_TESTED,
    ),
    Source(
        key="banister_trimp",
        authors="[Worked examples of Banister's training impulse]",
        year=None,
        title="Minutes times a weighted share of the heart rate reserve",
        where="Several pages that print the formula and an example",
        read="READ2",
        used_for="the training impulse, with its weights of people",
        tested_in=_TESTED,
    ),
    Source(
        key="clarke_skiba_2013",
        authors="Clarke, Skiba",
        year=2013,
        title="Rationale and resources for teaching the mathematical modeling of athletic "
        "training and performance",
        where="Advances in Physiology Education 37:134-152; loads as an R package holds them",
        read="READ2",
        used_for="load as an impulse response",
        tested_in=_TESTED,
    ),
    Source(
        key="witte_2006",
        authors="Witte, Hirst, Wilson",
        year=2006,
        title="Effect of speed on stride parameters in racehorses at gallop in field conditions",
        where="Journal of Experimental Biology 209:4389",
        read="READ",
        used_for="how long strides and stances last, and forces, at 9 and at 17 m/s",
        tested_in=(*_TESTED, "tests/published/test_gait.py"),
    ),
    Source(
        key="vergara_2022",
        authors="Vergara-Hernandez and others",
        year=2022,
        title="[Stride rates of winning racehorses; title not seen]",
        where="Translational Animal Science 6:txab233",
        read="READ",
        used_for="strides a second of winners in races",
        tested_in=_TESTED,
    ),
    Source(
        key="morrice_west_2022",
        authors="Morrice-West and others",
        year=2022,
        title="[Loading of the limb in races and bone fatigue; title not seen]",
        where="Scientific Reports, 25,234 starts",
        read="READ",
        used_for="the vertical force on a fore limb at a speed",
        tested_in=_TESTED,
    ),
)

"""One record per published source that the code leans on.

A number that a report prints names the keys of its sources; ``racecalc sources`` lists them with
the tests that hold the code to them. ``read`` says how the source was confirmed:

``READ``      seen in the source itself or in its abstract;
``READ2``     seen in a second-hand text that quotes it;
``LIB``       computed with a general-purpose library;
``PRACTICE``  common practice of the trade, no source;
``MEMORY``    not verified: may guide a choice, may not stand alone behind a printed number.
"""

from dataclasses import dataclass

__all__ = ["SOURCES", "Source", "brief", "cite"]


@dataclass(frozen=True)
class Source:
    """A published source, or a fact of the trade that has none.

    ``tested_in`` names the test files that compare with it; a test keeps it true.
    """

    key: str
    authors: str
    year: int | None
    title: str
    where: str
    read: str
    used_for: str
    tested_in: tuple[str, ...] = ()


_RECORDS: tuple[Source, ...] = (
    Source(
        key="nist_us_survey_foot",
        authors="National Institute of Standards and Technology",
        year=2022,
        title="U.S. Survey Foot: Revised Unit Conversion Factors",
        where="NIST web page; determination in 85 FR 62698 (5 October 2020)",
        read="READ",
        used_for="exact international rod, chain, furlong and mile",
        tested_in=("tests/published/test_units.py",),
    ),
    Source(
        key="yard_pound_1959",
        authors="National standards laboratories of six nations",
        year=1959,
        title="International yard and pound agreement",
        where="As quoted in an encyclopaedia, International yard and pound",
        read="READ2",
        used_for="the yard in metres and the pound in kilograms, exactly",
        tested_in=("tests/published/test_units.py",),
    ),
    Source(
        key="geographiclib_example",
        authors="Charles F. F. Karney",
        year=None,
        title="geographiclib for JavaScript, first example of its README",
        where="https://github.com/yurijmikhalevich/node-geographiclib, Wellington to Salamanca",
        read="READ",
        used_for="distances on the WGS84 ellipsoid",
        tested_in=("tests/gps/test_anchor.py",),
    ),
    Source(
        key="hands_notation",
        authors="An encyclopaedia",
        year=None,
        title="Hand (unit), section Terminology",
        where="Mirror at liquisearch.com",
        read="READ2",
        used_for="the figure after the point of a height counts inches, 0 to 3",
        tested_in=("tests/published/test_notation.py",),
    ),
    Source(
        key="practice_point_fifths",
        authors="Common practice",
        year=None,
        title="In a fifths clock, 1:13.2 is 1:13 2/5",
        where="A habit of print; no source was found, so the barn sets which clock it keeps",
        read="PRACTICE",
        used_for="one digit after the point of a time",
        tested_in=("tests/published/test_notation.py",),
    ),
    Source(
        key="akyuz_2013",
        authors="Akyüz, Shein, Asmus",
        year=2013,
        title="Procedure for assigning a value for trace precipitation data without changing the "
        "climatic history",
        where="Journal of Service Climatology 6(1), abstract",
        read="READ",
        used_for="a trace of rain is less than 0.005 inch and is noted as T",
        tested_in=("tests/published/test_notation.py",),
    ),
    Source(
        key="training_pace_2014",
        authors="A breeding farm in Kentucky",
        year=2014,
        title="Racetrack Training",
        where="The farm's web page of 26 November 2014",
        read="READ2",
        used_for="a two-minute lick is 15 seconds a furlong and 30 miles an hour",
        tested_in=("tests/published/test_units.py",),
    ),
    Source(
        key="wac_260_20_013",
        authors="Washington State",
        year=None,
        title="Washington Administrative Code 260-20-013, racing surface",
        where="Subsection (3)",
        read="READ",
        used_for="the lap of an oval is measured 3 feet out from the inside rail",
        tested_in=("tests/published/test_track.py",),
    ),
    Source(
        key="mile_track_1922",
        authors="A racing newspaper",
        year=1922,
        title="Laying Out Mile Race Track",
        where="26 August 1922, University of Kentucky archive, drf1922082601_12_4",
        read="READ",
        used_for="straights and fence radius of a one-mile oval",
        tested_in=("tests/published/test_course.py", "tests/published/test_track.py"),
    ),
    Source(
        key="breeding_trotter_1906",
        authors="A book on breeding trotters",
        year=1906,
        title="Breeding and developing the trotter",
        where="Page 54",
        read="READ",
        used_for="turn radius of a one-mile oval on its measuring line",
        tested_in=("tests/published/test_track.py",),
    ),
    Source(
        key="oklahoma_325_10_1_28",
        authors="State of Oklahoma",
        year=None,
        title="Oklahoma Administrative Code 325:10-1-28, distance poles",
        where="Section 28",
        read="READ",
        used_for="colours of the poles",
        tested_in=("tests/published/test_track.py",),
    ),
    Source(
        key="lengths_2018",
        authors="Pitt",
        year=2018,
        title="Lengths by the scale of the going",
        where="A newspaper column of 16 October 2018, as a web page quotes it",
        read="READ2",
        used_for="lengths as a measure of time",
        tested_in=("tests/published/test_worked_checks.py",),
    ),
    Source(
        key="practice_leads",
        authors="Common practice",
        year=None,
        title="The inside lead on the turns, the outside lead on the straights",
        where="As racing people explain it; horses differ, and so do rides",
        read="PRACTICE",
        used_for="where a pole sheet lets the leads change",
        tested_in=("tests/published/test_pole_sheet.py",),
    ),
    Source(
        key="practice_poles",
        authors="Common practice",
        year=None,
        title="Poles every sixteenth of a mile, named by the distance to the finish",
        where="As owners' associations and tracks explain it",
        read="PRACTICE",
        used_for="names and colours of the poles of an oval",
        tested_in=(
            "tests/published/test_notation.py",
            "tests/published/test_track.py",
        ),
    ),
    Source(
        key="chicago_tribune_1989",
        authors="Chicago Tribune",
        year=1989,
        title="[On timing in fifths and in hundredths; the headline was not seen]",
        where="25 June 1989, ct-xpm-1989-06-25-8902130288",
        read="READ",
        used_for="times in fifths are rounded down, by up to 0.19 s",
        tested_in=(
            "tests/published/test_notation.py",
            "tests/published/test_pace.py",
        ),
    ),
    Source(
        key="mann_2015",
        authors="Mann, Ivey, Brechue, Mayhew",
        year=2015,
        title="Validity and reliability of hand and electronic timing for 40-yd sprint in college "
        "football players",
        where="Journal of Strength and Conditioning Research 29(6):1509-1514, abstract",
        read="READ",
        used_for="scatter of times taken by hand",
        tested_in=("tests/published/test_pace.py",),
    ),
    Source(
        key="crawford_2021",
        authors="Crawford and others",
        year=2021,
        title="A study of Thoroughbred training in Queensland (title not seen)",
        where="Animals 11:270",
        read="READ",
        used_for="paces over 200 m with the speeds printed for them",
        tested_in=("tests/published/test_pace.py",),
    ),
    Source(
        key="derby_quarters_2008",
        authors="A racing writer",
        year=2008,
        title="Quarter-mile times of a race over a mile and a quarter",
        where="Web log of 12 March 2008; the same in hundredths on docslib 9297933",
        read="READ2",
        used_for="splits, their running sum and the final time",
        tested_in=(
            "tests/published/test_notation.py",
            "tests/published/test_pace.py",
        ),
    ),
    Source(
        key="sleuth3_ex0920",
        authors="Ramsey, Schafer and others",
        year=2024,
        title="Sleuth3, R package 1.0-6, table ex0920",
        where="Winning times over a mile and a quarter, 1896 to 2011, with speeds",
        read="LIB",
        used_for="speed in miles per hour from distance and time",
        tested_in=("tests/published/test_pace.py",),
    ),
    Source(
        key="practice_racing_age",
        authors="Common practice",
        year=None,
        title="All horses of the northern hemisphere turn a year older on 1 January",
        where="The birthday that racing uses",
        read="PRACTICE",
        used_for="a horse's age in years",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="lamas_2007",
        authors="Lamas, Giovagnoli, Heath, Jeffcott",
        year=2007,
        title="Some factors affecting the accuracy and variability of measurements of the height "
        "of ponies",
        where="Veterinary Record 160:691-694, abstract",
        read="READ",
        used_for="how far heights by stick lie apart, by one person and by three",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="coleman_2002",
        authors="Coleman, St Lawrence, Lawrence, Roberts",
        year=2002,
        title="Effect of frusemide on bodyweight loss and recovery in racing Standardbreds",
        where="Equine Veterinary Journal Supplement 34:165-167, abstract",
        read="READ",
        used_for="how much body weight varies between two weighings without exercise",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="ellis_hollands_1998",
        authors="Ellis, Hollands",
        year=1998,
        title="Accuracy of different methods of estimating the weight of horses",
        where="Veterinary Record 143:335-336, abstract; horses of 15 hands and more",
        read="READ",
        used_for="error of weights by tape, by girth and length, and by eye",
        tested_in=("tests/published/test_body.py", "tests/published/test_body_tape.py"),
    ),
    Source(
        key="jasn_repeatability",
        authors="Journal of the American Society of Nephrology",
        year=None,
        title="[A table of repeatability in 72 patients; its authors were not seen]",
        where="residual mean square and smallest detectable difference, row ECW",
        read="READ",
        used_for="the smallest change that measuring error does not explain",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="practice_condition_half_points",
        authors="Common practice",
        year=None,
        title="Body condition is scored in half points by one person",
        where="No published error was found; a whole point is taken as a change",
        read="PRACTICE",
        used_for="when a change of condition score is called one",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="verheyen_2006",
        authors="Verheyen, Price, Lanyon, Wood",
        year=2006,
        title="Exercise distance and speed affect the risk of fracture in racehorses",
        where="Bone 39(6):1322-1330, abstract",
        read="READ",
        used_for="the speed that parts canter from gallop, 14 m/s",
        tested_in=("tests/published/test_workload.py",),
    ),
    Source(
        key="estberg_1996",
        authors="Estberg, Stover, Gardner, Drake, Johnson, Ardans",
        year=1996,
        title="High-speed exercise history and catastrophic racing fracture in Thoroughbreds",
        where="American Journal of Veterinary Research 57(11):1549, abstract",
        read="READ",
        used_for="races and official works added up as fast ground",
        tested_in=("tests/published/test_workload.py",),
    ),
    Source(
        key="bates_lme4",
        authors="Bates",
        year=None,
        title="lme4: Mixed-effects Modeling with R",
        where="Draft of a book on lme4, chapters 1 and 2, as quoted by several texts",
        read="READ2",
        used_for="spreads of effects by restricted maximum likelihood",
        tested_in=("tests/published/test_own_line.py",),
    ),
    Source(
        key="lange_1989",
        authors="Lange, Little, Taylor",
        year=1989,
        title="Robust statistical modeling using the t distribution",
        where="Journal of the American Statistical Association 84(408):881-896",
        read="READ2",
        used_for="noise with Student's t distribution, so that a mistimed work pulls little",
        tested_in=("tests/published/test_own_line.py",),
    ),
    Source(
        key="roback_legler_2021",
        authors="Roback, Legler",
        year=2021,
        title="Beyond Multiple Linear Regression, data set derbyplus",
        where="Chapman and Hall/CRC; winning speeds and the condition of the track, 1896 to 2017",
        read="READ",
        used_for="trying a horse's line on real times over one course, fast and slow",
        tested_in=("tests/published/test_own_line.py",),
    ),
    Source(
        key="carroll_huntington_1988",
        authors="Carroll, Huntington",
        year=1988,
        title="Body condition scoring and weight estimation of horses",
        where="Equine Veterinary Journal 20(1):41-45, abstract",
        read="READ",
        used_for="weight from heart girth and length; horses in training are lighter",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="minnesota_girth_rule",
        authors="University of Minnesota",
        year=None,
        title="Body measurements, with a worked example",
        where="Web page of its college of veterinary medicine",
        read="READ",
        used_for="weight from girth squared times length over 330, in inches and pounds",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="girth_rule_examples",
        authors="Two web pages for horse owners",
        year=None,
        title="[Worked examples of girth squared times length over 330]",
        where="equestrianprovider.co.uk and lylelandbarn.com",
        read="READ",
        used_for="two more worked examples of that rule",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="summit_girth_rule",
        authors="A veterinary practice",
        year=None,
        title="[How to estimate a weight, with a worked example]",
        where="summit-equine.com",
        read="READ2",
        used_for="weight from girth squared times length over 300, and 50",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="milner_hewitt_1969",
        authors="Milner, Hewitt",
        year=1969,
        title="[On the weight of horses from girth and length; the title was not seen]",
        where="As quoted in How Much Does That Horse Weigh?, discovery.researcher.life",
        read="READ2",
        used_for="weight from girth and a length from the elbow",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="marcenac_aublet_1964",
        authors="Marcenac, Aublet",
        year=1964,
        title="[On the weight of horses from the girth; the title was not seen]",
        where="As quoted in How Much Does That Horse Weigh?, discovery.researcher.life",
        read="READ2",
        used_for="weight from the girth alone",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="jones_1989",
        authors="Jones and others",
        year=1989,
        title="[On the weight of horses from tape measurements; the title was not seen]",
        where="Veterinary Record 125(22):549, abstract",
        read="READ",
        used_for="weight from the girth at the navel and the length from the elbow",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="martinson_2014",
        authors="Martinson and others",
        year=2014,
        title="[On the weight and ideal weight of horses from body measurements; title not seen]",
        where="Journal of Animal Science; its exponents as a calculator page quotes them",
        read="READ2",
        used_for="weight from girth, length, height and neck, by type",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="catalano_2016",
        authors="Catalano and others",
        year=2016,
        title="[On the weight and ideal weight of draft horses and warmbloods; title not seen]",
        where="Journal of Equine Veterinary Science 39:38-43, abstract",
        read="READ",
        used_for="weight of draft horses and warmbloods from girth, length, height and neck",
        tested_in=("tests/published/test_body_tape.py",),
    ),
    Source(
        key="brown_douglas_growth",
        authors="Brown-Douglas",
        year=None,
        title="Newborn Foals: Big Babies, But Not the Biggest",
        where="A feed company's web page that reports her, equinews.com",
        read="READ",
        used_for="shares of mature weight and height of Thoroughbreds at birth, 6 and 12 months",
        tested_in=("tests/published/test_body_growth.py",),
    ),
    Source(
        key="pagan_2015",
        authors="Pagan",
        year=2015,
        title="[Report of his talk to breeders about the growing Thoroughbred]",
        where="Web page of 17 August 2015, equinews.com",
        read="READ",
        used_for="shares of mature weight and height at two years",
        tested_in=("tests/published/test_body_growth.py",),
    ),
    Source(
        key="nrc_growth_check",
        authors="Authors of a study of 885 growing Thoroughbreds",
        year=None,
        title="Comparison of Thoroughbred growth data to body weights predicted by the NRC",
        where="Abstract on discovery.researcher.life; 9,589 weighings",
        read="READ",
        used_for="how Thoroughbreds depart from the curve of weight of 2007",
        tested_in=("tests/published/test_body_growth.py",),
    ),
    Source(
        key="extension_height",
        authors="An extension service",
        year=None,
        title="How can I measure my colt now to determine his full height when fully grown?",
        where="horses.extension.org",
        read="READ",
        used_for="shares of mature height by age",
        tested_in=("tests/published/test_body_growth.py",),
    ),
    Source(
        key="extension_cannon",
        authors="An extension service",
        year=2006,
        title="How can I estimate my young horse's mature height?",
        where="articles.extension.org, page 33995, 21 July 2006",
        read="READ",
        used_for="higher shares of mature height by age",
        tested_in=("tests/published/test_body_growth.py",),
    ),
    Source(
        key="green_heights",
        authors="A study of heights, girths and cannon bones from 13 to 36 months",
        year=None,
        title="[Its authors and title were not seen]",
        where="Abstract on scilit.com, 104 animals; 148 cm at 18 months and 156 cm at 36",
        read="READ",
        used_for="share of mature height at 18 months",
        tested_in=("tests/published/test_body_growth.py",),
    ),
    Source(
        key="maintenance_of_500_kg",
        authors="A web page on feeding",
        year=None,
        title="[Maintenance of a horse of 500 kg by the National Research Council]",
        where="hoofrehab.com, 15.2 to 18.2 Mcal",
        read="READ2",
        used_for="least and elevated maintenance energy",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="energy_for_500_kg",
        authors="A web page on feeding",
        year=None,
        title="How to count horse calorie needs",
        where="megliohorse.com, 33.3 kcal for each kg, 16,650 kcal at 500 kg",
        read="READ2",
        used_for="average maintenance energy",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="work_factors",
        authors="A calculator's web page",
        year=None,
        title="How to calculate energy requirements for horses",
        where="snowdaycalculatornow.com; it pairs the factors with the older rule of maintenance",
        read="READ2",
        used_for="factors of light, moderate, heavy and very heavy work",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="smarsh_2022",
        authors="Smarsh",
        year=2022,
        title="Characterizing the exercise workloads and energy needs of horses",
        where="farms.com, 18 January 2022, table 1 after the National Research Council",
        read="READ2",
        used_for="hours and kinds of work of each class",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="light_work_fifth",
        authors="A feed maker's web page",
        year=None,
        title="[Energy for light work]",
        where="omegafields.com",
        read="READ2",
        used_for="light work needs a fifth more than maintenance",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="needs_of_1100_lb",
        authors="A web log on feeding",
        year=2012,
        title="Balancing digestible energy (DE) in the equine diet",
        where="coast-lines.blogspot.com, 26 March 2012, a horse of 1,100 lb",
        read="READ2",
        used_for="energy at maintenance, in moderate and in heavy work",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="moderate_1000_lb",
        authors="A feed store's web page",
        year=None,
        title="Mcal to kcal",
        where="happychickensfarm.com, a horse of 1,000 lb",
        read="READ2",
        used_for="energy in moderate work",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="nrc_1989_post",
        authors="Evans; Fletcher",
        year=1997,
        title="Re: how many Mcal does a competing endurance horse need",
        where="Mailing list on endurance.net, 6 February 1997",
        read="READ2",
        used_for="the older rule, so that it is not mixed with the newer",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="ebert_2020",
        authors="Ebert, Moore-Colyer",
        year=2020,
        title="The energy requirements of racehorses in training",
        where="Translational Animal Science, txaa196, abstract",
        read="READ",
        used_for="what Thoroughbreds in race training took in",
        tested_in=("tests/published/test_body_energy.py",),
    ),
    Source(
        key="hall_2019",
        authors="Hall, Carter, Stevenson, Hall",
        year=2019,
        title="Establishing a yard-specific normal rectal temperature reference range for horses",
        where="Journal of Equine Veterinary Science 74:51-55, abstract",
        read="READ",
        used_for="least temperature of grown horses; a yard's own range comes first",
        tested_in=("tests/published/test_body_vital.py",),
    ),
    Source(
        key="vital_signs_by_vets",
        authors="Three veterinary practices",
        year=None,
        title="[Vital signs of grown horses]",
        where="woodforestvet.com, carlisleequineclinic.com and equinevetservice.com",
        read="READ",
        used_for="greatest temperature and pulse of grown horses at rest",
        tested_in=("tests/published/test_body_vital.py",),
    ),
    Source(
        key="fit_racehorse_pulse",
        authors="A veterinary practice",
        year=None,
        title="[Vital signs of grown horses; a fit racehorse may have 28 or fewer]",
        where="greenelewis.com",
        read="READ",
        used_for="no pulse is called low by a published range",
        tested_in=("tests/published/test_body_vital.py",),
    ),
    Source(
        key="r_mad",
        authors="R Core Team",
        year=None,
        title="Median Absolute Deviation, function mad",
        where="R documentation, package stats, search.r-project.org",
        read="READ",
        used_for="the median absolute deviation as a standard deviation",
        tested_in=("tests/published/test_body_vital.py",),
    ),
)

SOURCES: dict[str, Source] = {record.key: record for record in _RECORDS}


def brief(key: str) -> str:
    """Return the shortest citation by which a reader can find a source.

    Raises
    ------
    KeyError
        If no source has that key.
    """
    source = SOURCES[key]
    first, *others = source.authors.split(", ")
    year = f" ({source.year})" if source.year else ""
    return f"{first}{' and others' if others else ''}{year}, {source.where}"


def cite(key: str) -> str:
    """Return the one-line citation of a source.

    Parameters
    ----------
    key : str
        A key of `SOURCES`.

    Raises
    ------
    KeyError
        If no source has that key.
    """
    source = SOURCES[key]
    year = f" ({source.year})" if source.year else ""
    return f"{source.authors}{year}. {source.title}. {source.where}."

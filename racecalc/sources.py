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
        key="fei_pony_height",
        authors="International federation for equestrian sports",
        year=None,
        title="Rule on the height of ponies: 148 cm without shoes, 149 cm with shoes",
        where="As quoted by a riding school (dressurstall-rothenberger.de) and a riding magazine",
        read="READ2",
        used_for="what shoes add to a height",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="practice_shoe_allowance",
        authors="Common practice",
        year=None,
        title="Shoes add a quarter to half an inch",
        where="As trainers and farriers reckon",
        read="PRACTICE",
        used_for="how far what shoes add may lie from the published allowance",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="gasser_1986",
        authors="Gasser, Sroka, Jennen-Steinmetz",
        year=1986,
        title="Residual variance and residual pattern in nonlinear regression",
        where="Biometrika 73(3):625-633, as the manual of the R package twostageTE prints it",
        read="READ2",
        used_for="the error of a reading, from readings and the line between their neighbours",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="altman_paulson",
        authors="Altman, Paulson",
        year=None,
        title="Some remarks about the Gasser-Sroka-Jennen-Steinmetz variance estimator",
        where="Abstract in an index of journals; journal and year were not seen",
        read="READ",
        used_for="degrees of freedom of that error",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="sen_1968",
        authors="Sen",
        year=1968,
        title="Estimates of the regression coefficient based on Kendall's tau",
        where="Its example, as the tests of SciPy 1.17 hold it (test_mstats_basic.py)",
        read="READ2",
        used_for="the slope of readings over time, and its interval",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="chuckwagon_2002",
        authors="[Authors not seen]",
        year=2002,
        title="[On 40 Thoroughbred geldings at a meeting of chuckwagon races; title not seen]",
        where="Equine Veterinary Journal Supplement 34, abstract (tb05413.x)",
        read="READ",
        used_for="what a race takes from a Thoroughbred's weight",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="japan_race_weights_2017",
        authors="[Authors not seen]",
        year=2017,
        title="[On body weights of racing Thoroughbreds in Japan, 640,431 starts; title not seen]",
        where="BMC Veterinary Research 13:257",
        read="READ",
        used_for="how weight swings over a year",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="hodges_1986",
        authors="Hodges, Harrison, Wathes",
        year=1986,
        title="[On the height of 89 horses before and after a trot; title not seen]",
        where="Veterinary Record 118(5):121, abstract",
        read="READ",
        used_for="how a trot raises the withers",
        tested_in=("tests/published/test_body.py",),
    ),
    Source(
        key="curtis_2010",
        authors="Curtis and others",
        year=2010,
        title="[On the height of 60 horses while standing; title not seen]",
        where="Veterinary Record 167:127-133, abstract",
        read="READ",
        used_for="how standing lowers the withers",
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
)

# Tape, growth, energy, temperature and pulse; set close, so that the module keeps its length.
# fmt: off
_TAPE, _GROWTH, _ENERGY, _VITAL = (
    (f"tests/published/test_body_{room}.py",) for room in ("tape", "growth", "energy", "vital")
)
_BODY_RECORDS: tuple[Source, ...] = (
    Source("carroll_huntington_1988", "Carroll, Huntington", 1988,
        "Body condition scoring and weight estimation of horses",
        "Equine Veterinary Journal 20(1):41-45, abstract", "READ",
        "weight from heart girth and length; horses in training are lighter", _TAPE),
    Source("minnesota_girth_rule", "University of Minnesota", None,
        "Body measurements, with a worked example",
        "Web page of its college of veterinary medicine", "READ",
        "weight from girth squared times length over 330, in inches and pounds", _TAPE),
    Source("girth_rule_examples", "Two web pages for horse owners", None,
        "[Worked examples of girth squared times length over 330]",
        "equestrianprovider.co.uk and lylelandbarn.com", "READ",
        "two more worked examples of that rule", _TAPE),
    Source("summit_girth_rule", "A veterinary practice", None,
        "[How to estimate a weight, with a worked example]", "summit-equine.com", "READ2",
        "weight from girth squared times length over 300, and 50", _TAPE),
    Source("milner_hewitt_1969", "Milner, Hewitt", 1969,
        "[On the weight of horses from girth and length; the title was not seen]",
        "As quoted in How Much Does That Horse Weigh?, discovery.researcher.life", "READ2",
        "weight from girth and a length from the elbow", _TAPE),
    Source("marcenac_aublet_1964", "Marcenac, Aublet", 1964,
        "[On the weight of horses from the girth; the title was not seen]",
        "As quoted in How Much Does That Horse Weigh?, discovery.researcher.life", "READ2",
        "weight from the girth alone", _TAPE),
    Source("jones_1989", "Jones and others", 1989,
        "[On the weight of horses from tape measurements; the title was not seen]",
        "Veterinary Record 125(22):549, abstract", "READ",
        "weight from the girth at the navel and the length from the elbow", _TAPE),
    Source("martinson_2014", "Martinson and others", 2014,
        "[On the weight and ideal weight of horses from body measurements; title not seen]",
        "Journal of Animal Science; its exponents as a calculator page quotes them", "READ2",
        "weight from girth, length, height and neck, by type", _TAPE),
    Source("catalano_2016", "Catalano and others", 2016,
        "[On the weight and ideal weight of draft horses and warmbloods; title not seen]",
        "Journal of Equine Veterinary Science 39:38-43, abstract", "READ",
        "weight of draft horses and warmbloods from girth, length, height and neck", _TAPE),
    Source("brown_douglas_growth", "Brown-Douglas", None,
        "Newborn Foals: Big Babies, But Not the Biggest",
        "A feed company's web page that reports her, equinews.com", "READ",
        "shares of mature weight and height of Thoroughbreds at birth, 6 and 12 months", _GROWTH),
    Source("pagan_2015", "Pagan", 2015,
        "[Report of his talk to breeders about the growing Thoroughbred]",
        "Web page of 17 August 2015, equinews.com", "READ",
        "shares of mature weight and height at two years", _GROWTH),
    Source("nrc_growth_check", "Authors of a study of 885 growing Thoroughbreds", None,
        "Comparison of Thoroughbred growth data to body weights predicted by the NRC",
        "Abstract on discovery.researcher.life; 9,589 weighings", "READ",
        "how Thoroughbreds depart from the curve of weight of 2007", _GROWTH),
    Source("extension_height", "An extension service", None,
        "How can I measure my colt now to determine his full height when fully grown?",
        "horses.extension.org", "READ", "shares of mature height by age", _GROWTH),
    Source("extension_cannon", "An extension service", 2006,
        "How can I estimate my young horse's mature height?",
        "articles.extension.org, page 33995, 21 July 2006", "READ",
        "higher shares of mature height by age", _GROWTH),
    Source("green_heights", "A study of heights, girths and cannon bones from 13 to 36 months",
        None, "[Its authors and title were not seen]",
        "Abstract on scilit.com, 104 animals; 148 cm at 18 months and 156 cm at 36", "READ",
        "share of mature height at 18 months", _GROWTH),
    Source("maintenance_of_500_kg", "A web page on feeding", None,
        "[Maintenance of a horse of 500 kg by the National Research Council]",
        "hoofrehab.com, 15.2 to 18.2 Mcal", "READ2", "least and elevated maintenance energy",
        _ENERGY),
    Source("energy_for_500_kg", "A web page on feeding", None, "How to count horse calorie needs",
        "megliohorse.com, 33.3 kcal for each kg, 16,650 kcal at 500 kg", "READ2",
        "average maintenance energy", _ENERGY),
    Source("work_factors", "A calculator's web page", None,
        "How to calculate energy requirements for horses",
        "snowdaycalculatornow.com; it pairs the factors with the older rule of maintenance",
        "READ2", "factors of light, moderate, heavy and very heavy work", _ENERGY),
    Source("smarsh_2022", "Smarsh", 2022,
        "Characterizing the exercise workloads and energy needs of horses",
        "farms.com, 18 January 2022, table 1 after the National Research Council", "READ2",
        "hours and kinds of work of each class", _ENERGY),
    Source("light_work_fifth", "A feed maker's web page", None, "[Energy for light work]",
        "omegafields.com", "READ2", "light work needs a fifth more than maintenance", _ENERGY),
    Source("needs_of_1100_lb", "A web log on feeding", 2012,
        "Balancing digestible energy (DE) in the equine diet",
        "coast-lines.blogspot.com, 26 March 2012, a horse of 1,100 lb", "READ2",
        "energy at maintenance, in moderate and in heavy work", _ENERGY),
    Source("moderate_1000_lb", "A feed store's web page", None, "Mcal to kcal",
        "happychickensfarm.com, a horse of 1,000 lb", "READ2", "energy in moderate work", _ENERGY),
    Source("nrc_1989_post", "Evans; Fletcher", 1997,
        "Re: how many Mcal does a competing endurance horse need",
        "Mailing list on endurance.net, 6 February 1997", "READ2",
        "the older rule, so that it is not mixed with the newer", _ENERGY),
    Source("ebert_2020", "Ebert, Moore-Colyer", 2020,
        "The energy requirements of racehorses in training",
        "Translational Animal Science, txaa196, abstract", "READ",
        "what Thoroughbreds in race training took in", _ENERGY),
    Source("hall_2019", "Hall, Carter, Stevenson, Hall", 2019,
        "Establishing a yard-specific normal rectal temperature reference range for horses",
        "Journal of Equine Veterinary Science 74:51-55, abstract", "READ",
        "least temperature of grown horses; a yard's own range comes first", _VITAL),
    Source("vital_signs_by_vets", "Three veterinary practices", None,
        "[Vital signs of grown horses]",
        "woodforestvet.com, carlisleequineclinic.com and equinevetservice.com", "READ",
        "greatest temperature and pulse of grown horses at rest", _VITAL),
    Source("fit_racehorse_pulse", "A veterinary practice", None,
        "[Vital signs of grown horses; a fit racehorse may have 28 or fewer]", "greenelewis.com",
        "READ", "no pulse is called low by a published range", _VITAL),
    Source("r_mad", "R Core Team", None, "Median Absolute Deviation, function mad",
        "R documentation, package stats, search.r-project.org", "READ",
        "the median absolute deviation as a standard deviation", _VITAL),
)
# fmt: on

SOURCES: dict[str, Source] = {record.key: record for record in (*_RECORDS, *_BODY_RECORDS)}


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

"""The small print: how it was measured, what is missing, sources, cautions, what made it."""

from collections.abc import Callable

from racecalc import __version__
from racecalc.digest import AnyReport, Digest, LoadReport, Missing, WorkReview
from racecalc.page import Prose
from racecalc.sources import SOURCES, brief
from racecalc.words.body import measures_explained
from racecalc.words.grammar import capital, count_of, day_of, listed, number_word, pronouns
from racecalc.words.leads import lead_sources
from racecalc.words.written import written
from racecalc.workload import STUDIES

__all__ = [
    "cautions",
    "how_measured",
    "made_with",
    "missing",
    "places_left_out",
    "remarks",
    "remarks_kept_back",
    "sources",
]


def remarks(digest: Digest) -> Prose | None:
    """Return what was remarked on the horse's days, in the words of the book."""
    if not digest.remarks:
        return None
    days = dict.fromkeys(day for day, _ in digest.remarks)
    said = tuple(
        f"{day_of(day)}: {'; '.join(text for on, text in digest.remarks if on == day)}"
        for day in days
    )
    # The works' own tables stand in pairs; a few remarks fill the place beside an odd one.
    odd = sum(bool(work.sections) for work in digest.works) % 2 == 1
    beside = odd and sum(len(text) for text in said) < _BESIDE
    return Prose(said, title="In the trainer’s words", half=beside, group="splits")


# Remarks of fewer letters than this fit beside a table.
_BESIDE = 400

# How many places of refused entries are named before the rest is counted.
_PLACES = 8

# A sentence for each kind of gap that the digest finds.
_MISSING: dict[str, Callable[[Missing], str]] = {
    "height": lambda gap: "No recent height is on record, so growth is not shown.",
    "weight": lambda gap: "No recent weight is on record.",
    "exercise": lambda gap: "No daily exercise was written down.",
    "distance": lambda gap: (
        f"{capital(count_of(gap.count, 'entry', 'entries'))} of exercise without a distance "
        f"{_is(gap)} not in the ground covered."
    ),
    "clock": lambda gap: (
        f"{capital(count_of(gap.count, 'work'))} {_has(gap)} no clock: the distance is counted, "
        "the speed is not known."
    ),
    "splits": lambda gap: (
        f"{capital(count_of(gap.count, 'work'))} {_has(gap)} no clock at the poles, so no splits."
    ),
    "footing": lambda gap: f"No footing was logged at {gap.name}.",
}


def _is(gap: Missing) -> str:
    return "is" if gap.count == 1 else "are"


def _has(gap: Missing) -> str:
    return "has" if gap.count == 1 else "have"


def how_measured(digest: Digest) -> Prose | None:
    """Explain the figures, each only where the report shows it."""
    if not digest.recorded:
        return None
    parts = []
    if any(work.time for work in digest.works):
        parts.append(
            "Works are timed by hand, pole to pole; the horse comes to the first pole running, "
            "unless from the gate. Two times are called different only where they lie further "
            "apart than the error of both readings."
        )
    if any(span.by_activity for span in digest.ground):
        parts.append(_fast_explained(digest))
    shown = [m for m in (digest.weight, digest.height, digest.condition) if m]
    parts += measures_explained(digest, shown)
    return Prose(tuple(parts), title="How it was measured", style="small") if parts else None


def _fast_explained(digest: Digest) -> str:
    usual = ""
    if digest.usual_fast is not None:
        their = pronouns(digest.horse.sex).possessive
        usual = f"; {their} usual is the range at the ends of the months before"
    return (
        f"Fast ground is ground covered at {written(digest.fast_speed, digest.barn)} or quicker"
        f"{usual}. Studies of fast work and injury disagree with one another, so no amount of it "
        "is a safe limit for one horse."
    )


def missing(digest: Digest) -> Prose | None:
    """Say plainly what the record does not hold, and which rows could not be used."""
    parts = [_MISSING[gap.what](gap) for gap in digest.missing] if digest.recorded else []
    parts += places_left_out(digest.left_out)
    parts += remarks_kept_back(digest.withheld_notes)
    if digest.last_record and digest.recorded and digest.last_record < digest.month.last:
        parts.append(f"The record ends on {day_of(digest.last_record)}, before the month does.")
    return (
        Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")
        if parts
        else None
    )


def remarks_kept_back(count: int) -> list[str]:
    """Count the remarks that name another horse or an owner."""
    if not count:
        return []
    names, kept = ("names", "is") if count == 1 else ("name", "are")
    return [
        f"{capital(count_of(count, 'remark'))} that {names} another horse or an owner {kept} kept "
        "back."
    ]


def places_left_out(problems: tuple[str, ...]) -> list[str]:
    """Name the places of refused entries, each once: a row with two faults is one entry."""
    if not problems:
        return []
    places = list(dict.fromkeys(_place(text) for text in problems))
    entries = capital(count_of(len(places), "entry", "entries"))
    more = len(places) - _PLACES
    if more > 0:
        places = [*places[:_PLACES], f"{number_word(more)} more"]
    return [f"{entries} of the daybook could not be used: {listed(places)}."]


def _place(place: str) -> str:
    """Shorten "works, row 14, column time" to "works, row 14": owners need no more."""
    return place.partition(", column ")[0]


def sources(digest: AnyReport) -> Prose | None:
    """List the published sources behind the numbers of this report."""
    found = {key for number in digest.numbers() for key in number.sources}
    if isinstance(digest, LoadReport) and digest.recorded:
        found |= {study.key for study in STUDIES}
    if isinstance(digest, WorkReview) and digest.leads:
        found |= set(lead_sources(digest.work.course))
    keys = sorted(found)
    if not keys or (isinstance(digest, Digest) and not digest.recorded):
        return None
    printed = dict.fromkeys(brief(key) for key in keys if SOURCES[key].read != "PRACTICE")
    if any(SOURCES[key].read == "PRACTICE" for key in keys):
        printed["common practice of the trade"] = None
    return Prose(
        (f"{'; '.join(printed)}.",),
        title="Sources",
        style="small",
        half=True,
        group="end",
    )


def cautions(digest: AnyReport) -> Prose:
    """Return the usual cautions."""
    return Prose(
        (
            "This report tells what was written down. It is no diagnosis and no promise. A horse "
            "that is lame, off its feed, dull, coughing or warmer than its own normal needs a "
            "veterinarian, whatever the figures say.",
            "How, when and whether a horse works is the licensed trainer’s decision on the "
            "morning. The track’s own rules and local law come first.",
        ),
        title="Cautions",
        style="caution",
    )


def made_with(digest: AnyReport) -> Prose:
    """Say what made the report, so that it can be made again."""
    return Prose(
        (
            f"Made by racecalc {__version__} from records with the fingerprint "
            f"{digest.data_hash[:16]}.",
        ),
        style="small",
    )

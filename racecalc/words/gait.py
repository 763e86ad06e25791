"""The words of films of the feet: the gait, its leads, and what the frames do not tell."""

import numpy as np

from racecalc import gait
from racecalc.digest import Digest, GaitClip, GaitInShort, GaitReport, Number
from racecalc.page import Masthead, Prose
from racecalc.words.grammar import capital, count_of, day_of, listed, number_word, pronouns
from racecalc.words.notes import places_left_out, remarks_kept_back
from racecalc.words.summary import masthead_until
from racecalc.words.written import figure_and_unit, written

__all__ = [
    "FOOT_NAMES",
    "clips_note",
    "feet_note",
    "footfall_caption",
    "footfall_words",
    "gait_in_words",
    "gait_masthead",
    "gait_missing",
    "gait_notes",
    "gait_summary",
    "leads_in_words",
    "month_gait",
    "phase_caption",
    "phase_words",
    "strides_note",
]

FOOT_NAMES = {"LH": "left hind", "RH": "right hind", "LF": "left fore", "RF": "right fore"}

# What a sentence calls a gait; the rest go by their names.
_CALLED = {
    "transverse gallop": "gallop",
    "rotary gallop": "gallop",
    "disunited canter": "canter",
}

_WHY = {
    "no-repeat": "no foot was noted landing twice, so that no whole stride is known",
    "feet-disagree": "the feet give stride times more than a tenth apart; a landing may be "
    "missing, or noted for another foot",
    "one-foot": "only one foot was noted",
    "one-side": "no two feet of a pair, left and right, were noted",
    "one-diagonal": "no two feet of a pair, left and right, were noted",
    "one-pair": "too few of the hind or of the fore feet were noted in the same strides",
    "pairs-differ": "one pair of feet lands half a stride apart and the other does not",
    "pairs-between": "a pair of feet lands neither clearly half a stride apart nor clearly closer",
    "gait-changes": "it changes within the clip",
    "diagonal-sequence": "each fore foot lands long after the hind foot of its side, as in no "
    "usual gait of a horse; feet may have been exchanged in the notes",
    "hinds-together": "both hind feet land together, as in a jump",
    "flight-after-hinds": "the long pause comes after the hind feet, as in no gait of a horse; "
    "fore and hind feet may have been exchanged in the notes",
    "odd-order": "the feet land in an order that no usual gait of a horse has; feet may have been "
    "exchanged in the notes",
}

_UNSURE = {
    "stride": "how long a stride took",
    "lag": "by how much a fore foot follows the hind foot of its side",
    "duty": "how long each foot is down and with what force",
    "force": "with what force each foot is down",
    "support": "how many feet, if any, are down at a time",
}

_ORDINARY = (
    "Which lead a horse takes, a change that comes late and strides with fore and hind feet on "
    "different leads have many ordinary causes: the turn, habit, tiredness, balance, the rider. "
    "They are told as they were seen. Whether a horse goes sound is for a veterinarian to say, who "
    "sees it move."
)

# A picture has room for so many strides, and for so many on a small screen.
_SEEN_STRIDES, _SEEN_SMALL = 8, 4
# Where the feet may have been exchanged in the notes, so may the leads.
_FEET_IN_DOUBT = ("odd-order", "flight-after-hinds", "hinds-together")


def _name_of(clip: GaitClip | GaitInShort) -> str:
    name = clip.reading.gait.name
    return _CALLED.get(name, name)


def gait_in_words(clip: GaitClip | GaitInShort) -> str:
    """Write the gait with its lead: "gallop, right lead"."""
    reading = clip.reading
    if reading.gait.name == gait.UNCLEAR:
        return "not clear"
    lead = _leads_through(reading)
    return f"{_name_of(clip)}, {lead}" if lead else _name_of(clip)


def _leads_through(reading: gait.ClipReading) -> str:
    """Write the lead, or through which leads a clip changed: "left to right lead"."""
    if not reading.changes or not all(change.whole for change in reading.changes):
        return leads_in_words(reading.leads)
    leads = [change.lead for change in reading.changes]
    first = "left" if leads[0] == "right" else "right"
    return f"{' to '.join([first, *leads])} lead"


def leads_in_words(leads: tuple[str | None, str | None]) -> str:
    """Write the leads of hind and fore feet; nothing where none was seen."""
    hind, fore = leads
    if hind == fore:
        return f"{hind} lead" if hind else ""
    if hind and fore:
        return f"hind {hind}, fore {fore}"
    return f"{fore} lead (fore)" if fore else f"{hind} lead (hind)"


def why_unclear(clip: GaitClip | GaitInShort) -> str:
    """Write why a gait was not named."""
    named = clip.reading.gait
    if named.why == "between":
        return f"it lies too near the edge between {listed(list(named.between))}"
    return _WHY[named.why or "no-repeat"]


def gait_masthead(report: GaitReport) -> Masthead:
    """Return the head of the report."""
    told = "How {name} went in the films {when}."
    return masthead_until(report.horse, report.barn, report.last, "how the horse went", told)


def gait_summary(report: GaitReport) -> Prose:
    """Return the sentences that carry the report."""
    clip = report.shown
    if clip is None:
        text = f"No film of {report.horse.name} is on record."
        if report.leads:
            text += " Below are the leads that were noted at the poles."
        return Prose((text,), style="lead")
    sentences = (
        _went(clip, report),
        _a_stride(clip, report),
        _flight(clip, report),
        _leads(clip),
        _exchanged(clip),
    )
    return Prose((" ".join(text for text in sentences if text),), style="lead")


def _went(clip: GaitClip, report: GaitReport) -> str:
    on, name = day_of(clip.day, report.last), report.horse.name
    of = f"clip “{clip.label}”, {_strides(clip)}"
    if clip.gait.name == gait.UNCLEAR:
        return f"What {name} went on {on} ({of}) could not be named: {why_unclear(clip)}."
    at = f" at {written(clip.speed, report.barn)}" if clip.speed else ""
    lead, changes = clip.reading.leads, clip.reading.changes
    on_lead = f" on the {lead[0]} lead" if lead[0] and lead[0] == lead[1] and not changes else ""
    return f"On {on} {name} was filmed at a {_name_of(clip)}{on_lead}{at} ({of})."


def _strides(clip: GaitClip | GaitInShort) -> str:
    return _counted(clip.strides)


def _a_stride(clip: GaitClip, report: GaitReport) -> str:
    if clip.time is None:
        return ""
    text = (
        f"A stride took {figure_and_unit(clip.time.value, report.barn)[0]} ± "
        f"{written(clip.time.error, report.barn)}"
    )
    if clip.length:
        text += f" and covered {written(clip.length, report.barn)}"
    beats = ""
    if clip.beats:
        count = int(clip.beats.value)
        # The beats of a canter or a gallop are never even.
        even = "" if clip.even or clip.reading.leads != (None, None) else "uneven "
        beats = f", in {count} {even}{'beat' if count == 1 else 'beats'}"
    return f"{text}{beats}."


def _flight(clip: GaitClip, report: GaitReport) -> str:
    if not clip.support:
        return ""
    if clip.flight is None:
        return "At no moment were all four feet seen off the ground."
    value, error = clip.flight.value, clip.flight.error
    return (
        f"For {figure_and_unit(value, report.barn)[0]} ± {written(error, report.barn)} of it no "
        "foot was on the ground."
    )


def _leads(clip: GaitClip) -> str:
    """Tell of the leads: where they changed, and strides on two."""
    reading = clip.reading
    parts = [_change(change) for change in reading.changes]
    count, apart = len(reading.strides), len(reading.disunited)
    if apart == count and apart:
        parts.append(_all_apart(reading))
    elif apart and not any(change.between for change in reading.changes):
        strides = listed([str(number) for number in reading.disunited])
        noun = "stride" if apart == 1 else "strides"
        parts.append(f"In {noun} {strides} hind and fore feet were on different leads.")
    elif not reading.changes and not apart and count > 1:
        parts.append(_kept(clip))
    return " ".join(part for part in parts if part)


def _all_apart(reading: gait.ClipReading) -> str:
    """Tell of a clip whose strides all have hind and fore feet on different leads."""
    if len({one.leads for one in reading.strides}) > 1:
        return "In all of them hind and fore feet were on different leads, and both changed."
    hind, fore = reading.leads
    return f"In all of them the hind feet were on the {hind} lead and the fore feet on the {fore}."


def _kept(clip: GaitClip) -> str:
    """Tell of a lead that was kept, by name where no sentence has named it yet."""
    hind, fore = clip.reading.leads
    if clip.gait.why in _FEET_IN_DOUBT or (hind, fore) == (None, None):
        return ""
    if hind and fore:
        named = clip.gait.name != gait.UNCLEAR
        return "The lead did not change." if named else f"The {hind} lead was kept throughout."
    pair = "hind" if hind else "fore"
    return f"The {pair} feet were on the {hind or fore} lead throughout."


def _change(change: gait.LeadChange) -> str:
    where = f"in stride {change.stride}"
    if not change.whole and change.between:
        return (
            f"From stride {change.stride} on the {change.first} feet were on the {change.lead} "
            "lead; the clip ends before the others were seen to follow."
        )
    if not change.whole:
        return f"The {change.first} feet changed to the {change.lead} lead {where}."
    if not change.between:
        return f"It changed to the {change.lead} lead {where}, hind and fore feet together."
    later = count_of(change.between, "stride")
    other = "fore" if change.first == "hind" else "hind"
    return (
        f"It changed to the {change.lead} lead {where}, the {change.first} feet first and the "
        f"{other} feet {later} later."
    )


def _exchanged(clip: GaitClip) -> str:
    """Say where two feet exchanged in the notes would look the same."""
    reading = clip.reading
    all_apart = reading.disunited and len(reading.disunited) == len(reading.strides)
    if all_apart or clip.gait.name in ("pace", "walking pace"):
        return "Two feet exchanged in the notes would look the same: look at the film again."
    return ""


def footfall_words(clip: GaitClip) -> str:
    """Describe the picture of footfalls."""
    feet = listed([FOOT_NAMES[foot] for foot in gait.FEET if foot in clip.reading.clip.seen])
    return f"When each foot was on the ground: {feet}; {gait_in_words(clip)}."


def footfall_caption(clip: GaitClip) -> str:
    """Say what bars and steps are."""
    parts = [
        "A bar for each time that a foot was on the ground, in seconds from the first landing."
    ]
    if clip.reading.leads != (None, None):
        parts.append("Red: the leading foot of its pair, which lands second.")
    if clip.count:
        parts.append("Below: how many feet were down.")
    if len(clip.reading.strides) > _SEEN_STRIDES:
        parts.append(f"The first {number_word(_SEEN_STRIDES)} strides.")
    if len(clip.reading.strides) > _SEEN_SMALL:
        parts.append(f"On a small screen: the first {number_word(_SEEN_SMALL)}.")
    return " ".join(parts)


def phase_words(report: GaitReport) -> str:
    """Describe the plane of symmetrical gaits."""
    return (
        "Clips of gaits whose feet land half a stride apart, left and right: the share of a stride "
        "for which a hind foot is down, and by how much the fore foot of its side follows."
    )


def phase_caption(*, large: bool) -> str:
    """Say where the regions come from; ``large`` is whether the clip told in full is among them."""
    text = (
        "Across: the share of a stride for which a hind foot is down; a walk is right of the "
        "middle line, a run left of it. Up: by how much of a stride the fore foot lands after the "
        "hind foot of its side. Regions after Hildebrand, in eighths of a stride; their edges are "
        "remembered, not read, but for the pace at none, the trot at a half and the line between "
        "walks and runs."
    )
    return f"{text} Large: the clip above." if large else text


def feet_note(clip: GaitClip, report: GaitReport) -> str:
    """Say of how many strides the means are, and how sure."""
    parts = []
    if clip.averaged:
        parts.append(f"Means of {_counted(clip.averaged)}{_on_lead(clip)}.")
    if clip.duty_error:
        parts.append(f"Shares are good to {written(clip.duty_error, report.barn)} of a stride.")
    if clip.lag_error:
        parts.append(
            f"After its hind: by how much of a stride a fore foot lands after the hind foot of its "
            f"side, good to {written(clip.lag_error, report.barn)}."
        )
    if clip.force_error and clip.fore_share:
        known = (
            "no error of it was published for a gallop, that of a canter is taken"
            if "gallop" in clip.gait.name
            else "its published error is taken"
        )
        parts.append(
            "Force: the peak, by a model and not measured, from how long the foot is down, with "
            f"{written(clip.fore_share, report.barn)} of the weight on the fore feet; {known}: "
            f"± {written(clip.force_error, report.barn)}. It tells nothing of bone, tendon or "
            "footing."
        )
    return " ".join(parts)


def _counted(count: Number) -> str:
    return f"{count.value:.0f} {'stride' if count.value == 1 else 'strides'}"


def _on_lead(clip: GaitClip) -> str:
    lead = leads_in_words(clip.reading.leads)
    return f" on the {lead}" if lead.endswith("lead") else ""


def strides_note(clip: GaitClip, report: GaitReport) -> str | None:
    """Say what is not told of single strides."""
    parts = []
    if any(one.duty for one in clip.each):
        parts.append("Under each foot: the share of the stride for which it was down.")
    if len(clip.reading.strides) > len(clip.each):
        parts.append(f"The first {number_word(len(clip.each))}.")
    if any(one.time is None for one in clip.each[:-1]):
        parts.append("The frames are too few, or a landing is missing, to time single strides.")
    if clip.each and clip.each[-1].time is None:
        parts.append("The last stride has no end in the clip.")
    return " ".join(parts) or None


def clips_note(report: GaitReport) -> str:
    """Say how clips compare."""
    older = f" {capital(count_of(report.older, 'older clip'))} not shown." if report.older else ""
    return (
        "Strides lengthen and quicken with speed: compare clips of one gait at about one speed. ± "
        "is what the frames leave; strides of one horse differ by about as much again or more. A "
        f"length is as sure as the speed that was noted.{older}"
    )


def gait_notes(report: GaitReport) -> Prose | None:
    """Explain how it was read, and what the film cannot tell."""
    clip = report.shown
    if clip is None:
        return None
    return Prose(
        (
            "The gait is named by the order and spacing of the footfalls, never by speed. The "
            "leading foot of a pair is the one that lands second. A transverse gallop has hind and "
            "fore feet on one lead, a rotary one on two.",
            _precision(clip, report),
            _ORDINARY,
        ),
        title="How it was read",
        style="small",
    )


def _precision(clip: GaitClip, report: GaitReport) -> str:
    """Say how finely the times are known, and what that does not allow."""
    if clip.step is None:
        return ""
    step = written(clip.step, report.barn)
    if clip.frames:
        text = f"At {written(clip.frames, report.barn)} frames a second, {step} apart, "
    else:
        text = f"Times were written in seconds, to {step} as far as their writing shows: "
    text += "a foot is known to land or lift to half a frame either way."
    if not clip.unsure:
        return text
    hidden = listed([_UNSURE[kind] for kind in clip.unsure])
    return (
        f"{text} That is too coarse for {hidden}: not told. A film of more frames a second would "
        "tell it; for means, more strides help too."
    )


def gait_missing(report: GaitReport) -> Prose | None:
    """Say what could not be told, and which rows could not be used."""
    parts = []
    clip = report.shown
    if clip:
        unseen = [FOOT_NAMES[foot] for foot in gait.FEET if foot not in clip.reading.clip.seen]
        if unseen:
            noun = "foot is" if len(unseen) == 1 else "feet are"
            parts.append(f"The {listed(unseen)} {noun} not noted: support is not told.")
        parts += _never_lifted(clip)
        if clip.gait.why == "gait-changes":
            parts.append("The gait changes within the clip: means of its strides are not told.")
        if clip.several_speeds:
            parts.append("More than one speed is noted of the clip: no length of strides is told.")
        elif clip.speed is None:
            parts.append("No speed is noted of the clip: no length of strides is told.")
    parts += places_left_out(report.left_out)
    parts += remarks_kept_back(report.withheld_notes)
    if not parts:
        return None
    return Prose(tuple(parts), title="What is missing", style="small", half=True, group="end")


def _never_lifted(clip: GaitClip) -> list[str]:
    """Say of which feet no lift was noted, and what that hides."""
    film = clip.reading.clip
    feet = [foot for foot in gait.FEET if foot in film.seen and np.isnan(film.off_s[foot]).all()]
    if not feet:
        return []
    noun, they = ("foot", "it is") if len(feet) == 1 else ("feet", "they are")
    return [
        f"No lift of the {listed([FOOT_NAMES[foot] for foot in feet])} {noun} is noted: neither "
        f"how long {they} down nor support is told."
    ]


def month_gait(digest: Digest) -> Prose | None:
    """Return a short paragraph on the month's films, the newest last."""
    clips = digest.gaits
    if not clips:
        return None
    older = digest.gaits_older
    said = [_in_short(clip, digest) for clip in clips]
    if older:
        said.insert(0, f"{capital(count_of(older, 'older film'))} of the month not told here.")
    said.append("Leads and strides are told as seen; soundness is for a veterinarian to judge.")
    return Prose((" ".join(said),), title="How the horse went")


def _in_short(clip: GaitInShort, digest: Digest) -> str:
    on, they = day_of(clip.day), pronouns(digest.horse.sex)
    if clip.reading.gait.name == gait.UNCLEAR:
        return f"On {on} {they.possessive} gait was filmed but could not be named."
    at = f", at {written(clip.speed, digest.barn)}" if clip.speed else ""
    text = f"On {on}: {gait_in_words(clip)}{at}, {_strides(clip)}"
    if clip.rate:
        text += f", {written(clip.rate, digest.barn)}"
    if clip.length:
        text += f", {written(clip.length, digest.barn)} each"
    return f"{text}."

"""Every number of a report with its printed text, for ``report.json``."""

from racecalc import __version__
from racecalc.digest import (
    AnyReport,
    BodyReport,
    FitnessReport,
    GaitReport,
    LoadReport,
    NextWork,
    PoleSheet,
    SurfaceReport,
    WorkReview,
)
from racecalc.page import Numbers
from racecalc.words import written

__all__ = ["numbers"]


def numbers(digest: AnyReport) -> Numbers:
    """Return every number of a report, and what they tell of."""
    rows = tuple(
        {
            "name": number.name,
            "value": number.value,
            "unit": number.unit,
            "text": written(number, digest.barn),
            "from": number.made_by,
            "sources": list(number.sources),
            "n": number.n,
            "caveat": number.caveat,
        }
        for number in digest.numbers()
    )
    return Numbers(rows, _about(digest) | {"data_hash": digest.data_hash, "version": __version__})


def _about(digest: AnyReport) -> dict[str, object]:
    horse = digest.horse
    whose: dict[str, object] = {"horse": horse.id, "name": horse.name} if horse else {}
    if isinstance(digest, PoleSheet):
        course = digest.plan.course
        return whose | {"track": course.id, "day": digest.day.isoformat()}
    if isinstance(digest, WorkReview):
        findings = list(digest.trace.findings) if digest.trace else []
        about = {"work": digest.work.id, "findings": findings}
        return whose | about | {"left_out": list(digest.left_out)}
    if isinstance(digest, BodyReport | FitnessReport | LoadReport):
        told: dict[str, object] = {"day": digest.last.isoformat(), "recorded": digest.recorded}
        return whose | told | {"left_out": list(digest.left_out)}
    if isinstance(digest, GaitReport):
        told = {"day": digest.last.isoformat(), "recorded": digest.recorded}
        clips = {"clips": [clip.label for clip in digest.clips]}
        return whose | told | clips | {"left_out": list(digest.left_out)}
    if isinstance(digest, NextWork):
        days = [day.isoformat() for day in (digest.best, *digest.fall_backs) if day]
        plan = {"day": digest.last.isoformat(), "proposed": days, "missing": list(digest.lacks)}
        return whose | plan | {"left_out": list(digest.left_out)}
    if isinstance(digest, SurfaceReport):
        where: dict[str, object] = {"track": digest.track, "day": digest.last.isoformat()}
        missing = {"recorded": digest.recorded, "missing": list(digest.outlook.lacks)}
        return where | missing | {"left_out": list(digest.left_out)}
    told_to = digest.last_record if digest.recorded else None
    return whose | {
        "month": digest.month.key,
        "day": (told_to or digest.month.last).isoformat(),
        "recorded": digest.recorded,
        "left_out": list(digest.left_out),
        "missing": [vars(gap) for gap in digest.missing],
    }

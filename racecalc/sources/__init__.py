"""One record per published source that the code leans on.

A number that a report prints names the keys of its sources; ``racecalc sources`` lists them with
the tests that hold the code to them. ``read`` says how the source was confirmed:

``READ``      seen in the source itself or in its abstract;
``READ2``     seen in a second-hand text that quotes it;
``LIB``       computed with a general-purpose library;
``PRACTICE``  common practice of the trade, no source;
``MEMORY``    not verified: may guide a choice, may not stand alone behind a printed number.
"""

import re

from racecalc.sources import (
    body,
    exposure,
    fitness,
    gait,
    load,
    load_and_statistics,
    track_and_time,
    weather,
)
from racecalc.sources.source import Source

__all__ = ["SOURCES", "Source", "brief", "cite"]

SOURCES: dict[str, Source] = {
    record.key: record
    for room in (
        track_and_time,
        load_and_statistics,
        load,
        exposure,
        fitness,
        body,
        weather,
        gait,
    )
    for record in room.RECORDS
}


def brief(key: str) -> str:
    """Return the shortest citation by which a reader can find a source: `cite` tells more.

    Raises
    ------
    KeyError
        If no source has that key.
    """
    source = SOURCES[key]
    first, *others = source.authors.split(", ")
    year = f" ({source.year})" if source.year else ""
    place = re.split("[,;]", source.where)[0]
    if first.startswith("["):
        return f"{place}{year}"
    return f"{first}{' and others' if others else ''}{year}, {place}"


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

"""The tables of a daybook: one definition that the readers, the checks and the README share."""

from racecalc.daybook.columns import (
    SOILS,
    STATES,
    WEIGHED,
    Column,
    TableSchema,
    choice_column,
    date_column,
    distance_column,
    horse_column,
    number_column,
    text_column,
    time_column,
    track_column,
)

__all__ = ["SCHEMA", "STATES", "WEIGHED", "Column", "TableSchema", "markdown"]

_ACTIVITIES = (
    "rest",
    "walk",
    "jog",
    "canter",
    "gallop",
    "race",
    "swim",
    "treadmill",
    "turnout",
)


_AIR = (
    Column("tmin", "temperature", field="tmin_c"),
    Column("tmax", "temperature", field="tmax_c"),
    Column("wind", "wind", field="wind_m_s"),
    number_column("rh_min", "%", field="rh_min_pct"),
    number_column("rh_max", "%", field="rh_max_pct"),
)


_TRACK = (
    Column("track", "id", True, meaning="id"),
    Column("name", "name", True),
    choice_column("surface", *STATES, required=True),
    distance_column("lap", True, "e.g. `1 mi`"),
    Column("straight", "stretch", meaning="length of each straight", field="straight_m"),
    Column(
        "finish_to_turn",
        "stretch",
        meaning="from the finish on to the first turn",
        field="finish_to_turn_m",
    ),
    Column(
        "rail_offset",
        "stretch",
        meaning="how far out from the rail the lap is measured",
        field="rail_offset_m",
    ),
    Column("width", "stretch", field="width_m"),
    choice_column("hand", "left", "right"),
    Column(
        "poles",
        "distance",
        meaning="1/16 mi, 1/8 mi, 200 m or 100 m: the spacing",
        field="pole_spacing_m",
    ),
    Column(
        "chutes",
        "distances",
        meaning="what is left to the finish at the start of each, such as `6 1/2 f; 1 1/4 mi`",
        spare=True,
    ),
    number_column(
        "latitude", "degrees", field="latitude_deg", meaning="of the finish line's middle"
    ),
    number_column("longitude", "degrees", field="longitude_deg"),
    number_column(
        "bearing", "degrees", field="bearing_deg", meaning="heading of the home straight"
    ),
    choice_column("soil", *SOILS, meaning="of its top layer", spare=True),
    Column(
        "holds",
        "rain",
        meaning="all the water that its top can lose by drying",
        field="holds_mm",
        spare=True,
    ),
    Column(
        "gives",
        "rain",
        meaning="of that, what it gives as fast as the air takes it",
        field="gives_mm",
        spare=True,
    ),
    Column("drains", "rain", meaning="in a day, when soaked", field="drains_mm", spare=True),
)


_WORK = (
    Column("work", "id", True, meaning="id"),
    date_column(),
    horse_column(),
    track_column(True),
    distance_column("distance", True),
    time_column(),
    Column(
        "from_pole",
        "pole",
        meaning="what is left to the finish at the start",
        field="from_pole_m",
    ),
    choice_column("manner", "breezing", "handily", "driving"),
    Column("from_gate", "yesno"),
    Column("state", "state", meaning="of the surface"),
    choice_column(
        "effort", "easy", "steady", "threshold", "sharp", "full", meaning="what was asked"
    ),
    text_column("company"),
    text_column("rider"),
    text_column("note"),
)


_TABLES = (
    TableSchema(
        "horses",
        True,
        (
            Column("horse", "id", True, meaning="id: letters, digits, - and _"),
            Column("name", "name", True),
            Column("foaled", "date_or_year", meaning="date or year"),
            choice_column("sex", "colt", "horse", "ridgling", "gelding", "filly", "mare"),
            text_column("colour"),
            date_column("arrived", False),
            date_column("left", False),
            text_column("note"),
        ),
        ("horse",),
        "one row per horse",
    ),
    TableSchema(
        "owners",
        False,
        (
            Column("owner", "id", True, meaning="id"),
            Column("name", "name", True),
            # What is no address harms no share.
            Column("email", "email", spare=True),
        ),
        ("owner",),
        "one row per owner",
    ),
    TableSchema(
        "shares",
        False,
        (
            horse_column(),
            Column("owner", "id", True, refers="owners"),
            number_column("percent", "%", True),
            date_column("since", False, "first day of the share; blank: from the start"),
            date_column("until", False, "last day of the share; blank: still held"),
        ),
        (),
        "who owns how much of a horse",
    ),
    TableSchema("tracks", True, _TRACK, ("track",), "one row per track"),
    TableSchema(
        "exercise",
        False,
        (
            date_column(),
            horse_column(),
            choice_column("activity", *_ACTIVITIES, required=True),
            distance_column("distance"),
            time_column(),
            track_column(),
            text_column("rider"),
            text_column("note"),
        ),
        (),
        "one row per piece of the day; works are not here",
    ),
    TableSchema("works", False, _WORK, ("work",), "one row per timed work"),
    TableSchema(
        "splits",
        False,
        (
            Column("work", "id", True, refers="works"),
            Column("pole", "pole", True, meaning="what is left to the finish; `+` is past it"),
            Column(
                "clock", "clock", True, meaning="running time since the work began", field="clock_s"
            ),
            choice_column("lead", "left", "right", spare=True),
        ),
        ("work", "to_finish_m"),
        "the running clock of a work at its poles",
    ),
    TableSchema(
        "measurements",
        False,
        (
            date_column(),
            horse_column(),
            choice_column("what", *WEIGHED, required=True),
            Column(
                "value",
                "value",
                True,
                meaning="with its unit; `length` is from the point of the shoulder to the point "
                "of the buttock",
            ),
            Column("shod", "yesno"),
            choice_column("method", "stick", "laser", "scale", "tape", "estimate"),
            text_column("by"),
            text_column("note"),
        ),
        (),
        "body measurements",
    ),
    TableSchema(
        "fitness",
        False,
        (
            date_column(),
            horse_column(),
            Column("step", "label", True),
            Column("speed", "speed", True, field="speed_m_s"),
            number_column("heart_rate", "beats/min", field="heart_rate_bpm"),
            number_column("lactate", "mmol/L", field="lactate_mmol_l"),
            number_column("minutes_after", "min", meaning="of a recovery; blank during the step"),
        ),
        (),
        "steps of an exercise test",
    ),
    TableSchema(
        "footfalls",
        False,
        (
            date_column(),
            horse_column(),
            Column("clip", "label", True),
            choice_column("foot", "LF", "RF", "LH", "RH", required=True),
            number_column("on", "s", True, meaning="seconds, or the frame where `fps` is filled"),
            number_column("off", "s", meaning="likewise"),
            number_column("fps", "fps", meaning="frames per second"),
            Column("speed", "speed", field="speed_m_s"),
        ),
        (),
        "footfalls read from a film",
    ),
    TableSchema(
        "surface",
        False,
        (
            date_column(),
            track_column(True),
            Column("state", "state", True, meaning="a word of that surface"),
            number_column("moisture", "%", field="moisture_pct"),
            choice_column(
                "moisture_method",
                "volume",
                "mass",
                meaning="by volume, as a probe in the cushion reads it, or by mass, as an "
                "oven-dried sample gives",
                spare=True,
            ),
            Column("cushion", "length", meaning="depth", field="cushion_m"),
            choice_column("upkeep", "none", "harrowed", "watered", "sealed"),
            Column("rain", "rain", meaning="since the last row", field="rain_mm"),
            text_column("note"),
        ),
        (),
        "the state of a track",
    ),
    TableSchema(
        "weather",
        False,
        (
            date_column(),
            track_column(True),
            *_AIR[:2],
            Column("rain", "rain", field="rain_mm"),
            *_AIR[2:],
            number_column("sun", "MJ/m2", field="sun_mj_m2", meaning="in the day"),
        ),
        ("date", "track"),
        "a day's weather at a track",
    ),
    TableSchema(
        "forecast",
        False,
        (
            date_column("issued"),
            date_column(),
            track_column(True),
            number_column("rain_chance", "%", field="rain_chance_pct"),
            Column("rain", "rain", meaning="if it rains", field="rain_mm"),
            *_AIR,
        ),
        ("issued", "date", "track"),
        "a forecast for a day at a track",
    ),
    TableSchema(
        "targets",
        False,
        (
            horse_column(),
            date_column(),
            distance_column("distance", True),
            track_column(),
            text_column("what"),
            text_column("note"),
        ),
        (),
        "races aimed at",
    ),
)

SCHEMA: dict[str, TableSchema] = {table.name: table for table in _TABLES}
"""All tables by name, in the order in which they are read and reported."""


def _said(column: Column) -> str:
    parts = [", ".join(column.allowed)] if column.allowed else []
    if column.kind == "yesno":
        parts.append("yes, no")
    if column.meaning:
        parts.append(column.meaning)
    if column.default_unit and column.kind == "number":
        parts.append(f"bare number in {column.default_unit}")
    star = "*" if column.required else ""
    return f"{column.name}{star}" + (f" ({'; '.join(parts)})" if parts else "")


def markdown() -> str:
    """Write the tables as one Markdown table; ``*`` marks a column that may not be blank.

    Returns
    -------
    str
        The lines of the table, each ending in a line break.
    """
    lines = ["| table | what it holds | columns |", "| --- | --- | --- |"]
    for table in SCHEMA.values():
        name = f"**{table.name}**" if table.required_table else table.name
        said = ", ".join(_said(column) for column in table.columns)
        lines.append(f"| {name} | {table.meaning} | {said} |")
    return "\n".join(lines) + "\n"

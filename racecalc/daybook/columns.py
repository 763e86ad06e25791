"""What a column of a daybook is, and the kinds that many tables share."""

from dataclasses import dataclass

__all__ = [
    "SOILS",
    "STATES",
    "WEIGHED",
    "Column",
    "TableSchema",
    "choice_column",
    "date_column",
    "distance_column",
    "horse_column",
    "number_column",
    "text_column",
    "time_column",
    "track_column",
]

STATES: dict[str, tuple[str, ...]] = {
    "dirt": ("fast", "wet fast", "good", "muddy", "sloppy", "slow", "heavy", "frozen"),
    "turf": ("firm", "good", "yielding", "soft", "heavy"),
    "synthetic": ("fast", "good", "slow", "wet"),
}
"""The words for the state of each surface."""

SOILS = (
    "sand", "loamy sand", "sandy loam", "loam", "silt loam", "silt", "silt clay loam",
    "silty clay", "clay",
)  # fmt: skip
"""The soils that FAO 56 tells of."""

WEIGHED: dict[str, tuple[str, str]] = {
    "height": ("height", "m"),
    "weight": ("weight", "kg"),
    "girth": ("length", "m"),
    "length": ("length", "m"),
    "cannon": ("length", "m"),
    "condition": ("number", "score"),
    "temperature": ("temperature", "°C"),
    "pulse": ("number", "beats/min"),
}
"""What can be measured: the notation of its value, and the unit of the value once read."""

NUMERIC_KINDS = frozenset(
    (
        "distance",
        "stretch",
        "clock",
        "length",
        "rain",
        "temperature",
        "speed",
        "wind",
        "number",
        "value",
    )
)


@dataclass(frozen=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    name : str
        The heading in the file.
    kind : str
        What a cell holds: ``id``, ``name``, ``text``, ``label`` (a text that groups rows),
        ``date``, ``date_or_year``, ``choice``, ``yesno``, ``state``, ``email``, ``number``,
        ``value`` (of the measurement named in the row), ``pole``, ``stretch`` (any length on the
        ground), ``distances`` (several, kept as written in the trade's way), or a notation.
    required : bool
        Whether a blank cell is an error.
    allowed : tuple of str
        The words a ``choice`` may take.
    default_unit : str or None
        The unit of a bare number, where the column has one.
    meaning : str
        What the documentation says of it.
    field : str
        The column of the table once read; its name carries the unit.
    refers : str
        The table whose id the cell must be.
    spare : bool
        Whether a wrong cell is left blank with a warning, as the row is of use without it.
    """

    name: str
    kind: str
    required: bool = False
    allowed: tuple[str, ...] = ()
    default_unit: str | None = None
    meaning: str = ""
    field: str = ""
    refers: str = ""
    spare: bool = False

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """The columns this one becomes once read, as (name, ``text``/``number``/``date``)."""
        field = self.field or self.name
        if self.kind == "date_or_year":
            return ((field, "date"), (f"{field}_year", "number"))
        if self.kind == "pole" and field == "pole":
            return ((field, "text"), ("to_finish_m", "number"))
        if self.kind == "date":
            return ((field, "date"),)
        if self.kind in NUMERIC_KINDS or self.kind == "pole":
            return ((field, "number"),)
        return ((field, "yesno" if self.kind == "yesno" else "text"),)


@dataclass(frozen=True)
class TableSchema:
    """One table: its columns, the columns that name a row once, and whether a book needs it."""

    name: str
    required_table: bool
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()
    meaning: str = ""

    def column(self, name: str) -> Column:
        """Return the column of that heading."""
        return next(column for column in self.columns if column.name == name)

    @property
    def fields(self) -> dict[str, str]:
        """The columns once read and their types, in order."""
        pairs = [pair for column in self.columns for pair in column.fields]
        if self.name == "measurements":
            pairs.append(("unit", "text"))
        return dict(pairs)


def horse_column() -> Column:
    """Name the horse that the row is of."""
    return Column("horse", "id", True, refers="horses")


def track_column(required: bool = False) -> Column:
    """Name the track that the row is about."""
    return Column("track", "id", required, refers="tracks")


def date_column(name: str = "date", required: bool = True, meaning: str = "") -> Column:
    """Hold a day."""
    return Column(name, "date", required, meaning=meaning)


def choice_column(
    name: str, *allowed: str, required: bool = False, meaning: str = "", spare: bool = False
) -> Column:
    """Hold one of a few words."""
    return Column(name, "choice", required, allowed, meaning=meaning, spare=spare)


def distance_column(name: str, required: bool = False, meaning: str = "") -> Column:
    """Hold a distance on the ground, in metres once read."""
    return Column(name, "distance", required, meaning=meaning, field=f"{name}_m")


def time_column() -> Column:
    """Hold a duration, in seconds once read."""
    return Column("time", "clock", field="time_s")


def number_column(
    name: str, unit: str, required: bool = False, field: str = "", meaning: str = ""
) -> Column:
    """Hold a number whose unit is fixed; it may be written or not."""
    return Column(name, "number", required, (), unit, meaning, field)


def text_column(name: str, required: bool = False, meaning: str = "") -> Column:
    """Hold free text."""
    return Column(name, "text", required, meaning=meaning)

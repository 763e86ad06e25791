"""What a workbook cell can show: the elements of a page, as plain data.

A cell of a workbook ends with one of these. The notebook reader sees it as HTML or as a chart; the
report exporters see the same content as one JSON object under `BLOCK_MIME`, and nothing else of
the notebook. An element holds finished text: no result is computed here.
"""

from dataclasses import dataclass, field
from html import escape
from typing import Any

__all__ = [
    "BLOCK_MIME",
    "BLUE",
    "FACE",
    "INK",
    "MUTED",
    "OCHRE",
    "POLES",
    "RULE",
    "RUST",
    "SAGE",
    "SAGE_PALE",
    "Cell",
    "Column",
    "Element",
    "Figure",
    "KeyFigures",
    "Masthead",
    "Numbers",
    "PageBreak",
    "Picture",
    "Prose",
    "Several",
    "Table",
]

BLOCK_MIME = "application/vnd.racecalc.block+json"

# What JupyterLab can draw by itself, offline; the report is drawn from the block instead.
_NOTEBOOK_CHART_MIME = "application/vnd.vegalite.v5+json"
_NOTEBOOK_CHART_SCHEMA = "https://vega.github.io/schema/vega-lite/v5.json"

INK = "#1f2d3d"
MUTED = "#5b6570"
RULE = "#d9d9d4"
RUST = "#9c3a20"
OCHRE = "#a98a1f"
SAGE = "#789480"
SAGE_PALE = "#d3ddd6"
BLUE = "#3d6d9e"
FACE = "Libertinus Serif"

# The colours of poles are facts of the course: the same on white paper and on a dark screen.
POLES = {"red": "#c0392b", "green": "#2e8b57", "black": "#111111"}

Block = dict[str, Any]
MimeBundle = dict[str, Any]


class Element:
    """Something that a page can show.

    Two neighbours that are ``half`` and of one ``group`` stand side by side where there is room.
    """

    def block(self) -> Block:
        """Return the element as plain JSON data, its kind under ``block``."""
        raise NotImplementedError

    def notebook_html(self) -> str:
        """Return what a reader of the notebook sees."""
        raise NotImplementedError

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> MimeBundle:
        return {BLOCK_MIME: self.block(), "text/html": self.notebook_html()}


@dataclass(frozen=True)
class Masthead(Element):
    """The head of a report: whose, of which month or day, for whom.

    ``day`` is the ISO date that the PDF bears: the last of what the report tells of.
    """

    name: str
    when: str
    day: str
    subtitle: str
    audience: str
    barn: str
    trainer: str
    language: str
    paper: str
    description: str

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        return {"block": "masthead"} | vars(self)

    def notebook_html(self) -> str:
        """Return a heading for the notebook."""
        return f"<h1>{escape(self.name)}, {escape(self.when)}</h1><p>{escape(self.subtitle)}</p>"


@dataclass(frozen=True)
class Prose(Element):
    """Paragraphs of plain sentences."""

    paragraphs: tuple[str, ...]
    title: str | None = None
    style: str = "body"
    half: bool = False
    group: str = ""

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        return {
            "block": "prose",
            "title": self.title,
            "paragraphs": list(self.paragraphs),
            "style": self.style,
            "half": self.half,
            "group": self.group,
        }

    def notebook_html(self) -> str:
        """Return the paragraphs."""
        return _heading(self.title) + "".join(f"<p>{escape(text)}</p>" for text in self.paragraphs)


@dataclass(frozen=True)
class Figure:
    """One number set large, with what it is compared with."""

    value: str
    unit: str
    label: str
    compare: str


@dataclass(frozen=True)
class KeyFigures(Element):
    """The few numbers that carry the month."""

    items: tuple[Figure, ...]

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        return {"block": "figures", "items": [vars(item) for item in self.items]}

    def notebook_html(self) -> str:
        """Return the figures as a list."""
        lines = (
            f"<li><b>{escape(item.value)}</b> {escape(item.unit)} {escape(item.label)}; "
            f"{escape(item.compare)}</li>"
            for item in self.items
        )
        return f"<ul>{''.join(lines)}</ul>"


@dataclass(frozen=True)
class Picture(Element):
    """A chart with its words; ``narrow`` is the same chart laid out for a phone."""

    # A workbook shows the chart itself; as text its specification would be pages long.
    spec: dict[str, Any] = field(repr=False)
    alt: str
    title: str | None = None
    caption: str | None = None
    half: bool = False
    group: str = ""
    narrow: dict[str, Any] | None = field(default=None, repr=False)

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        return {"block": "picture"} | vars(self)

    def notebook_html(self) -> str:
        """Return the title and the description."""
        return f"{_heading(self.title)}<p>{escape(self.alt)}</p>"

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> MimeBundle:
        chart = self.spec | {"$schema": _NOTEBOOK_CHART_SCHEMA}
        return super()._repr_mimebundle_() | {_NOTEBOOK_CHART_MIME: chart}


@dataclass(frozen=True)
class Column:
    """The head of a table column."""

    head: str
    align: str = "left"
    strong: bool = False


@dataclass(frozen=True)
class Cell:
    """A table cell that stands out."""

    text: str
    strong: bool = True


@dataclass(frozen=True)
class Table(Element):
    """Rows of finished text."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[str | Cell, ...], ...]
    title: str | None = None
    caption: str | None = None
    note: str | None = None
    half: bool = False
    group: str = ""

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        rows = [
            [cell if isinstance(cell, str) else vars(cell) for cell in row] for row in self.rows
        ]
        return {
            "block": "table",
            "title": self.title,
            "caption": self.caption,
            "columns": [vars(column) for column in self.columns],
            "rows": rows,
            "note": self.note,
            "half": self.half,
            "group": self.group,
        }

    def notebook_html(self) -> str:
        """Return a plain table."""
        head = "".join(f"<th>{escape(column.head)}</th>" for column in self.columns)
        texts = ((c if isinstance(c, str) else c.text for c in row) for row in self.rows)
        body = "".join(
            f"<tr>{''.join(f'<td>{escape(text)}</td>' for text in row)}</tr>" for row in texts
        )
        return f"{_heading(self.title)}<table><tr>{head}</tr>{body}</table>"


@dataclass(frozen=True)
class PageBreak(Element):
    """A new page on paper; nothing on a screen."""

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        return {"block": "pagebreak"}

    def notebook_html(self) -> str:
        """Return a rule."""
        return "<hr>"


@dataclass(frozen=True)
class Several:
    """Elements that one cell shows one after another."""

    elements: tuple[Element, ...]

    def _ipython_display_(self) -> None:
        # Only a running notebook comes here, and it has IPython.
        from IPython.display import display

        for element in self.elements:
            display(element)  # type: ignore[no-untyped-call]


@dataclass(frozen=True)
class Numbers(Element):
    """Every number that the report prints: not shown, but written beside the report as JSON.

    It is the last element of a report workbook: its presence proves that the workbook ran through.
    ``about`` says of what the numbers tell, and stands before them.
    """

    numbers: tuple[dict[str, Any], ...]
    about: dict[str, Any] = field(default_factory=dict)

    def block(self) -> Block:
        """Return the element as plain JSON data."""
        return {"block": "numbers"} | self.about | {"numbers": list(self.numbers)}

    def notebook_html(self) -> str:
        """Return how many numbers there are."""
        return f"<p>{len(self.numbers)} numbers, written to report.json</p>"


def _heading(title: str | None) -> str:
    return f"<h2>{escape(title)}</h2>" if title else ""

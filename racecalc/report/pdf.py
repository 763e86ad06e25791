"""The page on paper: set by Typst from plain data, tagged, the same bytes for the same workbook."""

import json
import re
import unicodedata
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from nbconvert.exporters.exporter import Exporter
from nbformat import NotebookNode
from traitlets import default
from traitlets.config import Config
from traitlets.log import get_logger

from racecalc.errors import ReportError
from racecalc.report.blocks import Block, blocks_of, rows_of
from racecalc.report.places import templates_folder
from racecalc.report.svg import draw

__all__ = ["PdfReportExporter", "paper_of"]

_PREPROCESSORS = ["nbconvert.preprocessors.ExecutePreprocessor"]

# How Typst names what no font can show: the text `"..."` could not be displayed.
_NOT_SHOWN = re.compile(r'the text `"(.*?)"` could not be displayed')
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
_STAND_IN = "\N{REPLACEMENT CHARACTER}"


class PdfReportExporter(Exporter):
    """Export an executed report workbook as a tagged PDF (PDF/UA-1), on letter or A4.

    Nothing of the data is ever read as markup: the layout ``templates/typst/report.typ`` gets it as
    JSON.
    """

    export_from_notebook = "Owner's report (PDF)"
    output_mimetype = "application/pdf"

    def __init__(self, config: Config | None = None, **kw: Any) -> None:
        super().__init__(config=config, **kw)  # type: ignore[no-untyped-call]

    @default("file_extension")
    def _file_extension_default(self) -> str:
        return ".pdf"

    @default("default_preprocessors")
    def _default_preprocessors_default(self) -> list[str]:
        return list(_PREPROCESSORS)

    def from_notebook_node(  # type: ignore[override]  # nbconvert's own exporters do the same
        self, nb: NotebookNode, resources: Any | None = None, **kw: Any
    ) -> tuple[bytes, dict[str, Any]]:
        """Return the PDF and nbconvert's resources.

        Raises
        ------
        ReportError
            If the notebook holds no whole report, or the page cannot be set.
        """
        prepared, resources = super().from_notebook_node(nb, resources, **kw)
        return paper_of(blocks_of(prepared)), resources


def paper_of(blocks: list[Block]) -> bytes:
    """Return the PDF of a report; tell nbconvert's log of characters that no font shows.

    Parameters
    ----------
    blocks : list of dict
        What `blocks_of` returned.

    Raises
    ------
    ReportError
        If the page cannot be set.
    """
    report = {"head": blocks[0], "rows": list(_with_drawings(rows_of(blocks)))}
    text = json.dumps(report, ensure_ascii=False, sort_keys=True)
    pdf, replaced = _set(text, _midnight(blocks[0]["day"]))
    if replaced:
        names = ", ".join(f"U+{ord(character):04X}" for character in sorted(replaced))
        said = "no font on this machine shows %s; printed as %s"
        get_logger().warning(said, names, _STAND_IN)
    return pdf


def _with_drawings(rows: Iterable[list[Block]]) -> Iterable[list[Block]]:
    """Replace each chart specification by its drawing; ids as in the page for a screen."""
    number = 0
    for row in rows:
        drawn = []
        for block in row:
            number += 1
            if block["block"] == "picture":
                drawing = draw(block["spec"], block["alt"], f"picture-{number}")
                kept = {key: block.get(key) for key in ("block", "title", "alt", "caption")}
                block = kept | {"svg": drawing.svg, "width": drawing.width}
            drawn.append(block)
        yield drawn


def _midnight(day: str) -> datetime:
    """Return the time that the file bears: the day of the report, never the clock's."""
    return datetime.fromisoformat(day).replace(tzinfo=UTC)


def _set(report: str, day: datetime) -> tuple[bytes, set[str]]:
    """Set the page; return it with the characters that had to give way to a stand-in.

    The face is the one that Typst carries inside. A name in a script which that face lacks is set
    again with the fonts of the machine, and what these lack too is replaced: PDF/UA-1 allows no
    character without a glyph.
    """
    import typst  # a process that has set a page can no longer be forked: load it late

    replaced: set[str] = set()
    only_own_fonts = True
    while True:
        try:
            return _compile(report, day, only_own_fonts), replaced
        except typst.TypstError as error:
            missing = set(_not_shown(error.diagnostic)) - {_STAND_IN}
            if not missing:
                raise ReportError(f"the page could not be set: {error.message}") from error
        if only_own_fonts:
            only_own_fonts = False
            continue
        if missing <= replaced:
            raise ReportError(f"the page could not be set: no glyph for {sorted(missing)}")
        replaced |= missing
        report = report.translate({ord(character): _instead_of(character) for character in missing})


def _instead_of(character: str) -> str:
    """Return the stand-in, or nothing for what shows nothing, as a joiner within an emoji."""
    return "" if unicodedata.category(character) == "Cf" else _STAND_IN


def _compile(report: str, day: datetime, only_own_fonts: bool) -> bytes:
    import typst

    return typst.compile(
        (templates_folder("typst") / "report.typ").read_bytes(),
        format="pdf",
        ignore_system_fonts=only_own_fonts,
        sys_inputs={"report": report},
        pdf_standards=["ua-1"],
        timestamp=day,
    )


def _not_shown(diagnostic: str) -> Iterable[str]:
    for text in _NOT_SHOWN.findall(diagnostic):
        yield from _ESCAPED.sub(lambda found: chr(int(found[1], 16)), text)

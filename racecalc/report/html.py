"""The page for a screen: one HTML file that asks for nothing and runs nothing."""

from collections.abc import Iterable
from functools import cache
from typing import Any

from jinja2 import Environment, Template
from nbconvert.exporters.exporter import Exporter
from nbconvert.exporters.templateexporter import TemplateExporter
from nbformat import NotebookNode
from traitlets import default
from traitlets.config import Config

from racecalc.report.blocks import Block, blocks_of, rows_of
from racecalc.report.places import templates_folder
from racecalc.report.svg import draw

__all__ = ["HtmlReportExporter", "page_of"]

# Preprocessors that change cells are of no use here: only outputs that carry page elements are
# read. Executing first (``nbconvert --execute``) is.
_PREPROCESSORS = ["nbconvert.preprocessors.ExecutePreprocessor"]


class HtmlReportExporter(TemplateExporter):
    """Export an executed report workbook as one offline HTML page.

    The layout is ``templates/html``; ``--template`` names another, whose template is given the
    same ``head`` (the masthead) and ``rows`` (lists of one or two page elements).
    """

    export_from_notebook = "Owner's report (HTML)"
    output_mimetype = "text/html"

    def __init__(self, config: Config | None = None, **kw: Any) -> None:
        super().__init__(config=config, **kw)  # type: ignore[no-untyped-call]

    @default("file_extension")
    def _file_extension_default(self) -> str:
        return ".html"

    @default("template_name")
    def _template_name_default(self) -> str:
        return "racecalc"

    @default("template_paths")
    def _template_paths(self, prune: bool = True, root_dirs: list[str] | None = None) -> list[str]:
        if self.template_name == "racecalc":
            return [str(templates_folder("html"))]
        paths: list[str] = super()._template_paths(prune, root_dirs)
        return paths

    @default("default_preprocessors")
    def _default_preprocessors_default(self) -> list[str]:
        return list(_PREPROCESSORS)

    def _create_environment(self) -> Environment:
        environment: Environment = super()._create_environment()  # type: ignore[no-untyped-call]
        environment.autoescape = True
        environment.trim_blocks = environment.lstrip_blocks = True
        return environment

    def from_notebook_node(  # type: ignore[override]  # as nbconvert's own TemplateExporter
        self, nb: NotebookNode, resources: dict[str, Any] | None = None, **kw: Any
    ) -> tuple[str, dict[str, Any]]:
        """Return the page and nbconvert's resources.

        Raises
        ------
        ReportError
            If the notebook holds no whole report.
        """
        prepared, resources = Exporter.from_notebook_node(self, nb, resources, **kw)
        return page_of(blocks_of(prepared), self.template), resources


def page_of(blocks: list[Block], layout: Template | None = None) -> str:
    """Return the page of a report.

    Parameters
    ----------
    blocks : list of dict
        What `blocks_of` returned.
    layout : jinja2.Template
        By default that of ``templates/html``, read once in a process.

    Raises
    ------
    ReportError
        If a picture cannot be drawn.
    """
    layout = layout or _own_layout()
    return layout.render(head=blocks[0], rows=_numbered(rows_of(blocks)))


@cache
def _own_layout() -> Template:
    layout: Template = HtmlReportExporter().template
    return layout


def _numbered(rows: Iterable[list[Block]]) -> list[list[Block]]:
    """Give each page element an id of its own, and each picture its drawings."""
    number = 0
    numbered: list[list[Block]] = []
    for row in rows:
        numbered.append([])
        for block in row:
            number += 1
            extra: Block = {"id": f"part-{number}"}
            if block["block"] == "picture":
                extra |= _drawings(block, f"picture-{number}")
            numbered[-1].append(block | extra)
    return numbered


def _drawings(picture: Block, prefix: str) -> Block:
    narrow = picture.get("narrow")
    return {
        "wide_drawing": draw(picture["spec"], picture["alt"], prefix),
        "narrow_drawing": draw(narrow, picture["alt"], f"{prefix}n") if narrow else None,
    }

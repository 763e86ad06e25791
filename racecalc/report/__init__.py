"""From an executed workbook to the pages an owner gets.

The exporters are `racecalc.report.html.HtmlReportExporter` and
`racecalc.report.pdf.PdfReportExporter`; ``jupyter nbconvert --to racecalc-html`` and
``--to racecalc-pdf`` find them by name. They are not imported here, so that asking a workbook for
its numbers does not load a drawing engine.
"""

from racecalc.report.blocks import blocks_of, numbers_of
from racecalc.report.places import templates_folder, workbooks_folder

__all__ = ["blocks_of", "numbers_of", "templates_folder", "workbooks_folder"]

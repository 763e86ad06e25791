"""The layouts of pages that are no reports: the barn's index, an owner's page."""

from functools import cache

from jinja2 import Environment, FileSystemLoader, Template

from racecalc.report.places import templates_folder

__all__ = ["layout"]


@cache
def layout(name: str) -> Template:
    """Return a layout of ``templates/html``, read once in a process."""
    environment = Environment(
        loader=FileSystemLoader(templates_folder("html")),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template(name)

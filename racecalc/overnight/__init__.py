"""Every horse's report in one run, and the barn's index of them."""

from racecalc.overnight.index import index_page
from racecalc.overnight.manifest import STATES, Outcome, manifest_text
from racecalc.overnight.run import run, run_one

__all__ = ["STATES", "Outcome", "index_page", "manifest_text", "run", "run_one"]

"""Every horse's report in one run, and the barn's index of them."""

from racecalc.overnight.doers import doer_of, how_slowly
from racecalc.overnight.plan import Asked, Plan
from racecalc.overnight.pool import Pool
from racecalc.overnight.prepare import Known
from racecalc.overnight.records import STATES, Outcome, Records
from racecalc.overnight.run import Finished, dry_run, run
from racecalc.overnight.verify import Verified, verify
from racecalc.report.finished import Limits

__all__ = [
    "STATES",
    "Asked",
    "Finished",
    "Known",
    "Limits",
    "Outcome",
    "Plan",
    "Pool",
    "Records",
    "Verified",
    "doer_of",
    "dry_run",
    "how_slowly",
    "run",
    "verify",
]

"""The rest of the barn as one horse's slice may know it: timed works, without a name.

What a horse may be expected to do leans on what the others did; whose work it was is no business of
an owner's report. Horses are told apart by a number.
"""

from typing import Any

import numpy as np
import pandas as pd

__all__ = ["STRING_FIELDS", "string_of"]

STRING_FIELDS = {
    "horse": "text",
    "date": "date",
    "track": "text",
    "distance_m": "number",
    "time_s": "number",
    "state": "text",
    "manner": "text",
    "effort": "text",
    "from_gate": "yesno",
}
"""The columns of the string, and their types as a schema names them."""


def string_of(works: pd.DataFrame, horse: str) -> pd.DataFrame:
    """Return the timed works of other horses at the tracks where this one has worked.

    Parameters
    ----------
    works : DataFrame
        The works of the whole book.
    horse : str
        The horse whose slice it is for.

    Returns
    -------
    DataFrame
        The columns of `STRING_FIELDS`; ``horse`` is ``other 1``, ``other 2`` and so on, in an order
        that tells nothing of who they are.
    """
    own = (works["horse"] == horse).to_numpy(dtype=np.bool_)
    tracks = set(works.loc[own, "track"])
    wanted = ~own & works["track"].isin(tracks).to_numpy() & works["time_s"].notna().to_numpy()
    others = works.loc[wanted, list(STRING_FIELDS)].reset_index(drop=True)
    return others.assign(horse=_numbered(others))


def _numbered(works: pd.DataFrame) -> "pd.Series[Any]":
    """Give each horse a number by all that it did, so that nothing follows from a name.

    The first work decides, and where two horses did the same there, the next one.
    """
    what = [column for column in STRING_FIELDS if column != "horse"]
    ranks = works.groupby(what, dropna=False).ngroup()
    done: dict[str, list[int]] = {}
    for rank, name in sorted(zip(ranks.tolist(), works["horse"].tolist(), strict=True)):
        done.setdefault(name, []).append(rank)
    order = sorted(done, key=lambda name: done[name])
    names = {name: f"other {number}" for number, name in enumerate(order, start=1)}
    return works["horse"].map(names).astype("object")

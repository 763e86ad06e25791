"""How fast the heart comes down, and the classes of a study."""

from dataclasses import dataclass

__all__ = ["RECOVERY_CLASSES", "RECOVERY_MINUTES", "RecoveryClass"]

RECOVERY_MINUTES = 1.0


@dataclass(frozen=True)
class RecoveryClass:
    """A class of heart rates a minute after, ``low_bpm`` to ``high_bpm``, in the study's words."""

    words: str
    low_bpm: float
    high_bpm: float


# 20 jump racehorses, one minute after the third uphill gallop of 1,400 m (wilson_mcgowan_2019):
# context for a reader, no verdict on a horse after another test.
RECOVERY_CLASSES = (
    RecoveryClass("fully fit", 0.0, 120.0),
    RecoveryClass("fit to race", 120.0, 140.0),
    RecoveryClass("unfit", 140.0, float("inf")),
)

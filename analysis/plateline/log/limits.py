"""What no human has lifted: loads beyond which a number is a slip of the pen."""

from __future__ import annotations

import re
from functools import lru_cache

from plateline.log.kinds import fold_words

__all__ = ["GENERAL_LIMIT_KG", "heaviest_kg"]

GENERAL_LIMIT_KG = 1200.0
"""No machine or sled is loaded with more for a full repetition (common practice, no source)."""

# Best marks in competition, equipment allowed, from memory, with a margin of a few per cent
# so that a record to come is not refused: squat 595 kg, bench press 635 kg, deadlift from the
# floor 510 kg (strongman), snatch 225 kg, clean and jerk 267 kg, overhead press 230 kg, strict
# curl 115 kg. Names in six languages; a name with any word of `_NOT_THIS` is left alone.
_LIMITS: tuple[tuple[str, float], ...] = (
    (r"\b(?:snatch|reissen|rei[sß]+en|arrache|arranque|strappo|arranco)\b", 240.0),
    (r"\b(?:clean|jerk|umsetzen|stossen|sto[sß]+en|epaule|cargada|girata|slancio|arremesso)\b", 290.0),
    (r"\b(?:lateral raise|seitheben|elevations? laterales?|elevacion(?:es)? lateral(?:es)?|"
     r"alzate laterali|elevac(?:ao|oes) latera(?:l|is))\b", 100.0),
    (r"\b(?:biceps? curl|bizepscurl|barbell curl|dumbbell curl|hammer ?curl|curl biceps|curl de biceps|"
     r"curl bicipiti|rosca direta)\b", 140.0),
    (r"\b(?:overhead press|military press|shoulder press|schulterdrucken|uberkopfdrucken|"
     r"developpe militaire|press militar|lento avanti|desenvolvimento)\b", 300.0),
    (r"\b(?:deadlifts?|kreuzheben|souleve de terre|peso muerto|stacchi|stacco|levantamento terra)\b", 540.0),
    (r"\b(?:squats?|kniebeugen?|sentadillas?|agachamento)\b", 630.0),
    (r"\b(?:bench ?press|bankdrucken|developpe couche|press de banca|press banca|panca piana|supino)\b", 670.0),
)  # fmt: skip
_NOT_THIS = re.compile(
    r"\b(?:machine|maschine|hack|leg press|smith|partial|rack|block|pin|belt|sled|18|silver|hip|trap|hex)\b"
)


@lru_cache(maxsize=65536)
def heaviest_kg(exercise: str) -> float:
    """Return the load in kg above which a set of this exercise is refused."""
    name = fold_words(exercise)
    if _NOT_THIS.search(name):
        return GENERAL_LIMIT_KG
    return next((limit for pattern, limit in _LIMITS if re.search(pattern, name)), GENERAL_LIMIT_KG)

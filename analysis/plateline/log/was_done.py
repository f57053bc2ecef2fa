"""Words that say whether a set was done or only planned: `completed`, `geplant`, `skipped`."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from plateline.log.kinds import fold_words, is_tick, is_yes
from plateline.log.numbers import is_missing
from plateline.log.values import Unreadable

__all__ = ["SKIP_NOTE", "check_done", "check_note", "was_done"]

_DONE = (
    "done|completed|complete|performed|actual|finished|logged|did it|executed|"
    "ist|gemacht|erledigt|absolviert|durchgeführt|geschafft|fertig|tatsächlich|"
    "fait|faite|réalisé|réalisée|effectué|effectuée|terminé|terminée|réel|"
    "hecho|hecha|realizado|realizada|completado|completada|terminado|real|"
    "fatto|fatta|eseguito|eseguita|completato|svolto|svolta|effettivo|"
    "feito|feita|concluído|concluída|completo|executado|executada"
)

_PLANNED = (
    "plan|planned|target|goal|scheduled|prescribed|pending|todo|to do|upcoming|"
    "geplant|soll|vorgabe|offen|anstehend|"
    "prévu|prévue|planifié|planifiée|à faire|objectif|"
    "planificado|planificada|previsto|prevista|pendiente|por hacer|programado|"
    "pianificato|da fare|programmato|"
    "planejado|planejada|planeado|planeada|pendente|a fazer"
)

_SKIPPED = (
    "skipped|skip|missed|not done|not completed|did not do|didn t do|dnf|dns|cancelled|canceled|"
    "incomplete|not performed|omitted|"
    "ausgefallen|ausgelassen|nicht gemacht|nicht erledigt|nicht geschafft|nicht absolviert|"
    "abgesagt|übersprungen|verpasst|entfallen|entfällt|fällt aus|weggelassen|abgebrochen|"
    "sauté|sautée|annulé|annulée|non fait|non faite|pas fait|pas faite|non réalisé|manqué|"
    "saltado|saltada|omitido|omitida|no hecho|no hecha|no realizado|cancelado|cancelada|"
    "saltato|saltata|non fatto|non fatta|annullato|annullata|non eseguito|"
    "pulado|pulada|não feito|não feita|não realizado|faltou"
)


SKIP_NOTE = (
    r"(?i)^(?:skipped|not done|cancell?ed|ausgefallen|ausgelassen|nicht gemacht|entfallen|sautée?|"
    r"annulée?|non faite?|pas faite?|saltad[oa]|omitid[oa]|no hech[oa]|saltat[oa]|non fatt[oa]|"
    r"pulad[oa]|não feit[oa])\s*(?:$|[-–—:;,.!(])"
)
"""A note that begins by saying that the set was left out, and says nothing else before a stop."""


def _folded(words: str) -> frozenset[str]:
    return frozenset(_key(word) for word in words.split("|"))


def _key(text: str) -> str:
    return re.sub(r"[^\w]+", " ", fold_words(text)).strip()


DONE, PLANNED, SKIPPED = map(_folded, (_DONE, _PLANNED, _SKIPPED))


@lru_cache(maxsize=4096)
def was_done(text: str, *, ticks: bool = False) -> bool | None:
    """Say whether a cell calls its set done; None where it says nothing of it.

    Parameters
    ----------
    text
        The cell.
    ticks
        Whether `x`, `yes`, `0` and the like count too, as they do below a header that asks.
    """
    key = _key(text)
    if key in DONE or (ticks and is_yes(text)):
        return True
    return False if key in PLANNED | SKIPPED or (ticks and is_tick(text)) else None


def check_done(cell: Mapping[str, str]) -> None:
    """Refuse a set that its row calls planned, skipped or not ticked."""
    done, skipped, kind = cell.get("done"), cell.get("skipped", ""), cell.get("set_kind", "")
    if done is not None and was_done(done, ticks=True) is not True:
        if is_missing(done):
            reason = (
                "The set is not ticked as done; tick it as the others are, or leave the row out."
            )
        else:
            reason = (
                f"The set is marked {done[:40]!r}, not as done; mark it done, or leave the row out."
            )
        raise Unreadable(reason, "done", done)
    if skipped and (is_yes(skipped) or was_done(skipped) is False):
        raise Unreadable(
            f"The set is marked {skipped[:40]!r}, so it was not done; leave the row out.",
            "skipped", skipped,
        )  # fmt: skip
    if kind and was_done(kind) is False:
        raise Unreadable(
            f"The set is marked {kind[:40]!r}, so it was not done; leave the row out.",
            "set_kind", kind,
        )  # fmt: skip


def check_note(cell: Mapping[str, str]) -> None:
    """Refuse a set that its note calls skipped, load and reps or not."""
    if (note := cell.get("note")) and re.match(SKIP_NOTE, note):
        raise Unreadable(
            f"The note says {note[:40]!r}, though the row has a set; leave out the row, or the note.",
            "note", note,
        )  # fmt: skip

"""Set kinds by word or letter, in six languages."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from plateline.log.numbers import is_missing, plain
from plateline.words import SetKind

__all__ = [
    "FAILURE_WORDS",
    "KIND_BEHIND",
    "KindReader",
    "fold_words",
    "is_kind_word",
    "is_tick",
    "is_yes",
    "kind_behind",
    "kind_label",
    "kind_of_word",
]

_WORDS: dict[SetKind, str] = {
    SetKind.WARM_UP: (
        "warm-up|warmup|warm up|warming up|wu|w/u|wup|warm|warm-up set|warmup set|aufwärmen|"
        "aufwärmsatz|aufwärmsätze|aw|aws|einwärmen|échauffement|échauff|échauf|éch|ech|"
        "calentamiento|calent|cal|aproximación|riscaldamento|risc|avvicinamento|aquecimento|aquec|"
        "aq|ramp|ramp-up|feeder|ramp set|preparation|primer"
    ),
    SetKind.TOP: (
        "top|top set|topset|top-set|ts|t|topsatz|spitzensatz|heavy|schwer|heavy set|série lourde|"
        "série principale|serie pesada|serie principal|serie pesante|série pesada|main set"
    ),
    SetKind.BACK_OFF: (
        "back-off|backoff|back off|bo|b/o|back-off set|backoff set|back down|backdown|back-down|"
        "down set|backoffsatz|back-off-satz|backoff-satz|nachsatz|série allégée|serie de descarga|"
        "serie ligera|serie scarico|serie di scarico|série leve|leicht|lighter set"
    ),
    SetKind.DROP: (
        "drop|drop set|dropset|drop-set|ds|d|dropsatz|reduktionssatz|abnehmend|dégressive|"
        "série dégressive|degressif|dégressif|descendente|serie descendente|stripping|scalare|"
        "serie a scalare|série drop|strip set|strip"
    ),
    SetKind.WORKING: (
        "working|work|working set|work set|workset|normal|regular|straight|straight set|standard|"
        "set|n|ws|main|arbeitssatz|arbeit|arbeitssätze|as|hauptsatz|satz|effektiv|travail|"
        "série de travail|effective|principale|trabajo|serie efectiva|efectiva|serie|allenante|"
        "serie allenante|lavoro|trabalho|válida|série válida|série|amrap|max|rest-pause|rest pause|"
        "restpause|myo|myo-reps|myorep|cluster|cluster set|superset|giant set|"
        "f|fail|failure|to failure|failed|muskelversagen|versagen|échec|fallo|cedimento|falha"
    ),
}


@lru_cache(maxsize=65_536)
def fold_words(text: str) -> str:
    """Return words without case, accents, brackets and surplus marks, for look-up."""
    folded = unicodedata.normalize("NFKD", plain(text).casefold())
    folded = "".join(c for c in folded if not unicodedata.combining(c))
    return re.sub(r"\s+", " ", re.sub(r"[._:()\[\]]+", " ", folded)).strip()


FAILURE_WORDS = frozenset(
    fold_words(w)
    for w in [
        "f",
        "fail",
        "failure",
        "to failure",
        "failed",
        "muskelversagen",
        "versagen",
        "échec",
        "fallo",
        "cedimento",
        "falha",
    ]
)
"""Words for a set that ended in failure: no reps in reserve."""


_YES = frozenset(
    fold_words(w)
    for w in [
        "1",
        "1.0",
        "true",
        "yes",
        "y",
        "x",
        "xx",
        "ok",
        "done",
        "ja",
        "j",
        "oui",
        "o",
        "si",
        "sí",
        "s",
        "sim",
        "w",
        "wu",
        "warmup",
        "wahr",
        "vrai",
        "vero",
        "verdadeiro",
        "verdadero",
        "erledigt",
        "fait",
        "hecho",
        "fatto",
        "feito",
        "✓",
        "✔",
        "✅",
        "☑",
        "🗸",
        "[x]",
        "completed",
    ]
)
_NO = frozenset(
    fold_words(w)
    for w in [
        "0",
        "0.0",
        "false",
        "no",
        "n",
        "nein",
        "non",
        "não",
        "nao",
        "falsch",
        "faux",
        "falso",
        "-",
        "skipped",
        "skip",
        "missed",
        "✗",
        "✘",
        "❌",
        "☐",
        "[ ]",
        "o",
    ]
)


def is_yes(text: str) -> bool:
    """Say whether a cell says yes: a word for it, or a tick."""
    return fold_words(text) in _YES


def is_tick(text: str) -> bool:
    """Say whether a cell says yes or no."""
    return fold_words(text) in _YES | _NO


_KINDS = {fold_words(word): kind for kind, words in _WORDS.items() for word in words.split("|")}


class KindReader:
    """Reads the set kinds of one file, where a lone W or A means what the file shows.

    Parameters
    ----------
    texts
        Every distinct kind text of the file: W is a warm-up, unless warm-ups are marked
        otherwise in the same file; then it is a working set.
    """

    def __init__(self, texts: Iterable[str], name: str) -> None:
        folded = {fold_words(t) for t in texts}
        self.assumptions: list[str] = []
        self._kinds = dict(_KINDS)
        others = folded - {"w", "a"}
        has_other_warm_up = any(_KINDS.get(f) is SetKind.WARM_UP for f in others)
        if "w" in folded:
            self._kinds["w"] = SetKind.WORKING if has_other_warm_up else SetKind.WARM_UP
            self.assumptions.append(
                f"{name}: set kind W is read as a {self._kinds['w'].value} set."
            )
        if "a" in folded:
            is_work = has_other_warm_up or "w" in folded
            self._kinds["a"] = SetKind.WORKING if is_work else SetKind.WARM_UP
            if is_work and "w" in folded and not has_other_warm_up:
                self._kinds["w"] = SetKind.WARM_UP
            self.assumptions.append(
                f"{name}: set kind A is read as a {self._kinds['a'].value} set."
            )

    def read(self, text: str | None) -> SetKind | None:
        """Return the kind, `working` for nothing, None for a word that is not known."""
        if is_missing(text):
            return SetKind.WORKING
        folded = fold_words(text or "")
        found = self._kinds.get(folded)
        if found is None:
            found = self._kinds.get(re.sub(r"[ -]?\d+$", "", folded))
        if found is None:
            found = self._kinds.get(re.sub(r"[ -]*(?:sets?|satze?)$", "", folded))
        if found is None and folded.isdecimal():
            return SetKind.WORKING
        return found


def kind_of_word(text: str) -> SetKind | None:
    """Return the kind that a word of more than one letter names, None where it names none."""
    folded = fold_words(text)
    if len(folded) < 2:
        return None
    return _KINDS.get(folded) or _KINDS.get(re.sub(r"[ -]?sets?$|[ -]?satz$", "", folded))


KIND_BEHIND = (
    r"(?:\s*[(\[]|\s+[-–]\s|:\s)\s*(?P<kind>(?:warm|aufw|einw|échauf|echauf|calent|riscald|aquec|top[- ]?s|"
    r"back[- ]?off|drop[- ]?s)[^()\[\]\d]{0,14}?|wu|w/u)\s*#?\d{0,2}\s*[)\]]?$"
)
"""A kind of set behind the name of an exercise: `Squat (warm-up)`, `Squat - top set`."""


@lru_cache(maxsize=4096)
def kind_behind(name: str) -> tuple[str, str] | None:
    """Part `Squat (warm-up)` into the exercise and the word for a kind; None where it has none."""
    found = re.search(KIND_BEHIND, name, re.IGNORECASE)
    if not found or not found.start() or kind_of_word(found.group("kind").strip()) is None:
        return None
    return name[: found.start()].strip(), found.group("kind").strip()


def is_kind_word(text: str) -> bool:
    """Say whether a text is a word for a set kind (a lone letter is none)."""
    return len(text) > 1 and fold_words(text) in _KINDS


_LABEL = re.compile(
    r"([^\W\d_][^\d:=@#+]*?)\.?\s*(?:[:=–]|\s-)?\s*(?=[+-]?\d|[#@]\s*\d|bw(?![a-wyz])|x\s*\d)",
    re.IGNORECASE,
)


def kind_label(text: str) -> tuple[str, str] | None:
    """Part a line such as `warm up: 60x5` into the word for a set kind and the rest."""
    found = _LABEL.match(text)
    if not found:
        return None
    word = re.sub(
        r"[ -]*(?:sets?|sätze?)$", "", found.group(1), flags=re.IGNORECASE
    ) or found.group(1)
    for label in (found.group(1), word):
        if is_kind_word(label):
            return label, text[found.end() :]
    return None

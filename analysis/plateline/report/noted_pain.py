"""What notes say of pain, an injury or dizziness: quoted, never judged.

A page that tells a client to press on while the log says that it hurts is worse than no page.
The words are those that people write in English, German, French, Spanish, Italian, Portuguese,
Russian, Chinese, Japanese and Arabic; soreness of muscles is not among them. What is found is
shown as written, for the coach to ask about. A note that is missed or misread costs a question.
"""

from __future__ import annotations

import datetime as dt

import polars as pl

__all__ = ["pain_facts", "pain_notes"]

PAIN_NOTES = {
    "client": pl.String,
    "date": pl.Date,
    "exercise": pl.String,
    "note": pl.String,
    "source_file": pl.String,
    "source_line": pl.Int64,
}

_JOINT = r"(?:knees?|shoulders?|elbows?|wrists?|hips?|neck|ankles?|joints?|tendons?|lower back)"

_PAIN = (
    # English
    r"\bpain(?:s|ed|ful\w*)?\b", r"\bhurt(?:s|ing)?\b", r"\bach(?:e|es|ed|ing|y)\b",
    r"\binjur\w*", r"\bsprain\w*", r"\bpinch(?:ed|ing)\b", r"\bnumb(?:ness)?\b", r"\btingl\w*",
    rf"\b(?:sore|stiff|tender) (?:left |right )?{_JOINT}\b",
    rf"\b{_JOINT}(?: \w+){{0,4}} (?:sore|stiff|tender)\b",
    rf"\b(?:tweaked|strained|pulled) (?:my |a |the )?(?:left |right )?(?:{_JOINT}|back|groin|hamstring|calf|quad|pec|muscle)\b",
    r"\bdizz\w*", r"\bfaint(?:ed|ing)?\b", r"\blight-?headed\b", r"\bpassed out\b",
    # German
    r"schmerz", r"\bweh\b", r"verletz", r"\bgezerrt\b", r"zerrung\b", r"\bschwind(?:e|lig)",
    r"\btaub(?:heit|es)?\b",
    # French
    r"\bdouleur", r"\bdouloureu", r"\bmal (?:à|au|aux)\b", r"\bfait mal\b", r"\bj'ai mal\b",
    r"\bbless(?:é|ure)", r"\bvertiges?\b",
    # Spanish, Italian, Portuguese
    r"\bdolor", r"\bduele", r"\bmolestias?\b", r"\blesi[óo]n", r"\bmare(?:o|ado|ada)\b",
    r"\bfa(?:ceva)? male\b", r"\binfortuni", r"\bcapogir", r"\bgiramenti di testa\b",
    r"\bdor(?:es)?\b", r"\bd[óo]i\b", r"\bdoe(?:u|ndo)\b", r"\bles(?:ão|ões|ionad)", r"\btontura",
    # Russian, Chinese, Japanese, Arabic
    r"\bбол[ьи]\b", r"болит", r"травм", r"疼", r"痛", r"受[伤傷]", r"头晕", r"頭暈", r"怪我", r"めまい",
    r"ألم", r"وجع", r"إصابة", r"دوخة",
)  # fmt: skip

# Taken out of a note before the words above are looked for: pain that is denied, and what only
# looks like it (French bread, Chinese delight).
_DENIED = (
    r"\b(?:no|without|zero|0|free of|any)(?: more| real| \w+)? (?:pain|ach|hurt|injur|numb|dizz)\w*",
    r"(?:\bnot|n['’]t|\bnever|\bno longer|\bnothing|\bnor)(?: really| even| at all)? (?:pain|ach|hurt|dizz|numb)\w*",
    r"\bpain[- ]?free\b", r"\bpainless\w*", r"\bpain (?:is |was |has )?gone\b",
    r"\bpain[:= ]*0\b",
    r"\b(?:keine?n?|ohne|nicht|nie)(?: mehr)?(?: \w+)? \w*(?:schmerz\w*|weh\b|schwind\w*)",
    r"\w*schmerzfrei\w*", r"\bunverletzt\w*",
    r"\b(?:sans|aucune|pas de|plus de)(?: \w+)? douleurs?", r"\b(?:pas|plus) mal\b",
    r"\b(?:du|de|le|au|petit) pain\b",
    r"\b(?:sin|ning[úu]n|nada de)(?: \w+)? (?:dolor\w*|molestias?)", r"\bno (?:me )?duele\w*",
    r"\b(?:senza|nessun)(?: \w+)? dolor\w*", r"\bnon (?:mi )?fa(?:ceva)? male",
    r"\b(?:sem|nenhuma)(?: \w+)? dor(?:es)?\b", r"\bnão d[óo]i\b",
    r"(?:без|нет) боли", r"не болит",
    r"[不无無](?:再|是|太|觉得|覺得)?[疼痛]+", r"[没沒]有?(?:感觉到?|感覺到?)?[疼痛]+", r"痛快", r"痛みな[しく]",
    r"(?:بدون|بلا|لا) (?:أي )?ألم",
)  # fmt: skip

_SPOKEN = f"(?i){'|'.join(_PAIN)}"
_UNSPOKEN = f"(?i){'|'.join(_DENIED)}"


def pain_notes(
    sets: pl.DataFrame, checkins: pl.DataFrame, first: dt.date, last: dt.date
) -> pl.DataFrame:
    """Return the notes of some days that speak of pain, an injury or dizziness, newest first.

    Parameters
    ----------
    sets
        SETS.
    checkins
        CHECKINS.
    first, last
        The days.

    Returns
    -------
    pl.DataFrame
        `client, date, exercise, note, source_file, source_line`: one row for each note of a
        day, with the first line it stands on. `exercise` is null where the note stands beside
        several lifts or in a check-in; the place of a check-in is not known.
    """
    inside = pl.col("date").is_between(first, last) & pl.col("note").is_not_null()
    of_sets = (
        sets.filter(inside)
        .group_by("client", "date", "note", maintain_order=True)
        .agg(
            exercise=pl.when(pl.col("exercise").n_unique() == 1).then(pl.col("exercise").first()),
            source_file=pl.col("source_file").first(),
            source_line=pl.col("source_line").first(),
        )
    )
    of_days = checkins.filter(inside).select(
        "client", "date", "note",
        *(pl.lit(None, PAIN_NOTES[name]).alias(name)
          for name in ("exercise", "source_file", "source_line")),
    )  # fmt: skip
    both = [
        frame.select(pl.col(name).cast(dtype) for name, dtype in PAIN_NOTES.items())
        for frame in (of_sets, of_days)
    ]
    told = pl.col("note").str.replace_all(_UNSPOKEN, " ").str.contains(_SPOKEN)
    return (
        pl.concat(both)
        .filter(told)
        .sort(
            "client", "date", "source_file", "source_line", "note",
            descending=[False, True, False, False, False],
            nulls_last=True,
        )
    )  # fmt: skip


def pain_facts(notes: pl.DataFrame) -> pl.DataFrame:
    """Return how many notes speak of pain, and the newest: `client, pain_notes, pain_note, ...`.

    Parameters
    ----------
    notes
        From `pain_notes`.
    """
    return notes.group_by("client", maintain_order=True).agg(
        pl.len().cast(pl.Int32).alias("pain_notes"),
        pl.col("note").first().alias("pain_note"),
        pl.col("exercise").first().alias("pain_exercise"),
    )

"""The user's own exercises laid over those that ship."""

from __future__ import annotations

from typing import Any

import polars as pl

from plateline.exercises.normal import normalise
from plateline.words import CATALOGUE

__all__ = ["lay_over"]


def lay_over(shipped: pl.DataFrame, mine: pl.DataFrame) -> pl.DataFrame:
    """Put the user's rows over those that ship; empty cells keep what ships.

    A row stands for the entry that has its exercise as a name or alias, else for the one
    that has the first of its aliases; a row that stands for none is a new exercise. It takes
    the entry's place, with the entry's other names, only if it lists the entry's own name.
    """
    listed = [[e, *a] for e, a in mine.select("exercise", "aliases").iter_rows()]
    bases = _stood_for(shipped, listed)
    replaces = [
        base is not None and normalise(base) in {normalise(n) for n in names}
        for base, names in zip(bases, listed, strict=True)
    ]
    filled = (
        mine.with_columns(
            base=pl.Series(bases, dtype=pl.String),
            own=pl.Series(listed, dtype=pl.List(pl.String)),
        )
        .join(
            shipped, left_on="base", right_on="exercise", how="left", suffix="_ships",
            maintain_order="left",
        )
        .with_columns(
            _filled(name, dtype).alias(name)
            for name, dtype in CATALOGUE.items()
            if name not in ("exercise", "aliases")
        )
    )  # fmt: skip
    taken = {normalise(name) for names in listed for name in names}
    theirs = [
        [*names[1:], *(_untaken(others, taken) if whole else [])]
        for names, others, whole in zip(
            listed, filled["aliases_ships"].to_list(), replaces, strict=True
        )
    ]
    replaced = [base for base, whole in zip(bases, replaces, strict=True) if whole]
    rest = shipped.filter(~pl.col("exercise").is_in(replaced))
    kept = [_untaken(names, taken) for names in rest["aliases"].to_list()]
    return pl.concat(
        [
            rest.with_columns(aliases=pl.Series(kept, dtype=pl.List(pl.String))),
            filled.with_columns(aliases=pl.Series(theirs, dtype=pl.List(pl.String))).select(
                rest.columns
            ),
        ]
    ).sort("exercise")


def _stood_for(shipped: pl.DataFrame, listed: list[list[str]]) -> list[str | None]:
    """Return for each row's names the entry that it stands for, names before aliases."""
    owner: dict[str, str] = {}
    for aliases in (False, True):
        for entry, others in shipped.select("exercise", "aliases").iter_rows():
            for name in others if aliases else [entry]:
                owner.setdefault(normalise(name), entry)
    return [
        next((owner[key] for name in names if (key := normalise(name)) in owner), None)
        for names in listed
    ]


def _untaken(names: list[str] | None, taken: set[str]) -> list[str]:
    """Return the names that the user gave to no exercise of their own."""
    return [name for name in names or [] if normalise(name) not in taken]


def _filled(name: str, dtype: Any) -> pl.Expr:
    if isinstance(dtype, pl.List):
        return pl.when(pl.col(name).list.len() > 0).then(name).otherwise(f"{name}_ships")
    return pl.coalesce(name, f"{name}_ships")

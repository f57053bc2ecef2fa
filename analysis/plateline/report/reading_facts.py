"""What became of the rows of a log, per client: rejected, repeated, doubted, taken for granted."""

from __future__ import annotations

import datetime as dt

import polars as pl

__all__ = [
    "assumptions_by_client",
    "doubtful_names",
    "duplicate_counts",
    "flags",
    "rejected_by_client",
    "rejected_counts",
]


def rejected_by_client(rejected: pl.DataFrame, sets: pl.DataFrame) -> pl.DataFrame:
    """Say whose each rejected row is: the columns of REJECTED with `client` in front.

    A rejected row carries its text, not its client. It belongs to the client of its file
    where the file has one only; else to the client whose id is one of its cells; else to
    the client of the accepted rows just above and below it, where these agree. What is
    still open has no client, and is shown to the coach only. A file that gave no set (the
    check-ins, say) can be about any client of the log.
    """
    owners = sets.select("source_file", "client").unique()
    others = (
        rejected.select("source_file")
        .unique(maintain_order=True)
        .join(owners, on="source_file", how="anti")
        .join(owners.select("client").unique(), how="cross")
    )
    owners = pl.concat([owners, others])
    numbered = rejected.with_row_index("_row")
    single = owners.group_by("source_file").agg(
        pl.when(pl.len() == 1).then(pl.col("client").first()).alias("_single")
    )
    named = (
        numbered.select(
            "_row",
            "source_file",
            pl.col("row")
            .str.replace_all(r'["\t;|]', ",")
            .str.split(",")
            .list.eval(pl.element().str.strip_chars())
            .list.unique()
            .alias("client"),
        )
        .explode("client")
        .join(owners, on=["source_file", "client"], how="semi")
        .group_by("_row")
        .agg(pl.when(pl.len() == 1).then(pl.col("client").first()).alias("_named"))
    )
    lines = (
        sets.select("source_file", "source_line", "client")
        .unique(["source_file", "source_line"])
        .sort("source_line")
    )
    near = numbered.select("_row", "source_file", "source_line").sort("source_line")
    above = near.join_asof(
        lines.rename({"client": "_above"}),
        on="source_line",
        by="source_file",
        check_sortedness=False,
    )
    below = near.join_asof(
        lines.rename({"client": "_below"}),
        on="source_line",
        by="source_file",
        strategy="forward",
        check_sortedness=False,
    )
    around = (
        above.select("_row", "_above")
        .join(below.select("_row", "_below"), on="_row")
        .select(
            "_row",
            pl.when(pl.col("_above") == pl.col("_below")).then("_above").alias("_around"),
        )
    )
    return (
        numbered.join(single, on="source_file", how="left")
        .join(named, on="_row", how="left")
        .join(around, on="_row", how="left")
        .sort("_row")
        .select(pl.coalesce("_single", "_named", "_around").alias("client"), *rejected.columns)
    )


def rejected_counts(rejected: pl.DataFrame) -> pl.DataFrame:
    """Count the rejected rows of each client: `client, rejected`."""
    return (
        rejected.drop_nulls("client")
        .group_by("client", maintain_order=True)
        .agg(pl.len().cast(pl.Int32).alias("rejected"))
    )


def duplicate_counts(duplicates: pl.DataFrame | None) -> pl.DataFrame:
    """Return the rows of each client that repeat others: `client, duplicates`."""
    if duplicates is None:
        return pl.DataFrame(schema={"client": pl.String, "duplicates": pl.Int64})
    return duplicates.select("client", duplicates="rows")


def flags(sets: pl.DataFrame, month: dt.date) -> pl.DataFrame:
    """Return the doubts about the month's sets: `client, flag, sets`, with the first of each.

    Adds `exercise, source_file, source_line` of the first set with that doubt.
    """
    return (
        sets.filter(pl.col("date") >= month, pl.col("flag").is_not_null())
        .group_by("client", "flag", maintain_order=True)
        .agg(
            pl.len().cast(pl.Int32).alias("sets"),
            pl.col("exercise", "source_file", "source_line").first(),
        )
        .sort("client", "flag")
    )


def doubtful_names(names: pl.DataFrame) -> pl.DataFrame:
    """Keep the names that no catalogue entry has, or that were read by similarity only."""
    return names.filter(
        pl.col("rows") > 0, pl.col("catalogue").is_null() | (pl.col("how") == "similar")
    ).sort("client", "rows", "name", descending=[False, True, False])


def assumptions_by_client(
    assumptions: pl.DataFrame | list[str], clients: pl.DataFrame
) -> pl.DataFrame:
    """Give every client the assumptions about nobody else: `client, assumption, is_shared`.

    Parameters
    ----------
    assumptions
        `client, assumption`, the client null where a sentence is about the whole log (or such
        sentences alone). One about the whole log that names a client is that client's.
    clients
        `client, name` of everybody in the log.
    """
    if isinstance(assumptions, list):
        assumptions = pl.DataFrame(
            {"client": [None] * len(assumptions), "assumption": assumptions},
            schema={"client": pl.String, "assumption": pl.String},
        )
    numbered = assumptions.with_row_index("_row")
    own = numbered.join(clients.select("client"), on="client", how="semi")
    said = numbered.filter(pl.col("client").is_null()).drop("client")
    who = pl.concat(
        [
            clients.select("client", word=pl.col("client")),
            clients.select("client", word=pl.col("name")).drop_nulls(),
        ]
    ).with_columns(
        pattern=pl.format("(?i)(^|[^\\w]){}($|[^\\w])", pl.col("word").str.escape_regex())
    )
    named = (
        said.join(who, how="cross")
        .filter(pl.col("assumption").str.contains(pl.col("pattern")))
        .select("assumption", about="client")
    )
    shared = (
        clients.select("client")
        .join(said, how="cross")
        .join(named.group_by("assumption").agg("about"), on="assumption", how="left")
        .filter(
            pl.col("about").is_null()
            | (
                (pl.col("about").list.n_unique() == 1)
                & (pl.col("about").list.first() == pl.col("client"))
            )
        )
        .select("client", "assumption", "_row", is_shared=pl.lit(len(clients) > 1))
    )
    mine = own.select("client", "assumption", "_row", is_shared=pl.lit(value=False))
    return pl.concat([shared, mine]).sort("client", "_row").drop("_row")

"""The index: who comes first, and every client in it, whatever became of the report."""

from __future__ import annotations

import re

import polars as pl

from plateline.report import ClientRun, Results, build_index
from plateline.report.numbers import NBSP
from plateline.report.urgency import urgency_word

from .test_tables import Tags


def runs(results: Results, **errors: str) -> list[ClientRun]:
    return [
        ClientRun(client, f"{client}-2026-03.html", errors.get(client))
        for client in results.clients
    ]


def order(html: str) -> list[str]:
    return re.findall(r'<a href="([^"]+)-2026-03\.html">', html)


def test_clients_stand_by_need_of_a_decision(demo_results: Results) -> None:
    placed = order(build_index(demo_results, runs(demo_results)))
    assert set(placed) == set(demo_results.clients)
    # Four lifts of hers are falling; one of his stands still; the others' plans stand.
    assert placed[:2] == ["007", "teo"]
    assert placed.index("mara") < placed.index("ruth")


def test_who_needs_a_decision_has_the_first_lever_beside_the_reason(demo_results: Results) -> None:
    html = build_index(demo_results, runs(demo_results))
    decide, others = html.split("Watch (")
    assert "First lever: swap it for Dumbbell bench press." in decide
    assert "First lever: food and sleep." in decide
    assert "First lever" not in others


def test_within_a_group_the_weightiest_comes_first(demo_results: Results) -> None:
    html = build_index(demo_results, runs(demo_results))
    decisions = demo_results.frames["decisions"]
    first = decisions.unique("client", keep="first", maintain_order=True)
    group = {c: urgency_word(u) for c, u in first.select("client", "urgency").iter_rows()}
    weight = dict(decisions.group_by("client").agg(pl.col("weight").sum()).iter_rows())
    groups = ["decide", "watch", "carry on"]
    keys = [(groups.index(group[c]), -round(weight[c], 3)) for c in order(html)]
    assert keys == sorted(keys)


def test_every_row_has_a_reason_sessions_and_the_last_day(demo_results: Results) -> None:
    html = build_index(demo_results, runs(demo_results)).replace(NBSP, " ")
    assert html.count('data-label="Why here">') == len(demo_results.clients)
    assert 'data-label="Why here"></td>' not in html
    assert "of 12" in html
    assert "Mar" in html


def test_a_failed_report_is_a_row_with_its_reason_and_comes_first(demo_results: Results) -> None:
    html = build_index(demo_results, runs(demo_results, mara="A cell stopped."))
    assert order(html)[0] == "mara"
    assert "A cell stopped." in html
    assert "one report could not be made" in html


def test_a_client_of_whom_nothing_is_known_is_a_row_too(demo_results: Results) -> None:
    html = build_index(
        demo_results,
        [*runs(demo_results), ClientRun("new", None, "The log has no set of this client.")],
    )
    assert "The log has no set of this client." in html


def test_names_and_errors_are_escaped_and_links_stay_files(demo_results: Results) -> None:
    client = "<b>x</b> #1?"
    markup = {"client": client, "name": None, "exercise": "<i>Row</i>"}
    mine = demo_results.of("mara").frames
    results = Results(
        demo_results.month,
        {
            name: frame.with_columns(
                pl.lit(text, pl.String).alias(column)
                for column, text in markup.items()
                if column in frame.columns
            )
            for name, frame in mine.items()
        },
    )
    html = build_index(
        results, [ClientRun(client, f"{client}.html", None), ClientRun("z", None, "<u>no</u>")]
    )
    assert "&lt;b&gt;x" in html
    assert "&lt;i&gt;Row" in html
    tags = Tags(html)
    assert not tags.of("b")
    assert not tags.of("i")
    assert not tags.of("u")
    assert [a["href"] for a in tags.of("a") if a["href"] != "#pl-main"] == [
        "%3Cb%3Ex%3C/b%3E%20%231%3F.html"
    ]


def test_a_row_that_belongs_to_nobody_is_named_for_the_coach(demo_results: Results) -> None:
    stray = demo_results.frames["rejected"].head(1).drop("client")
    html = build_index(Results(demo_results.month, demo_results.frames, stray), runs(demo_results))
    assert "cannot be given to a client: log.csv line" in html
    assert "cannot be given" not in build_index(demo_results, runs(demo_results))


def test_two_hundred_clients_make_a_light_page_with_a_way_to_find_one(
    demo_results: Results,
) -> None:
    def many(frame: pl.DataFrame) -> pl.DataFrame:
        return pl.concat(
            frame.with_columns(client=pl.format("{} {}", "client", pl.lit(n))) for n in range(25)
        ).sort("client", maintain_order=True)

    club = Results(
        demo_results.month, {name: many(frame) for name, frame in demo_results.frames.items()}
    )
    html = build_index(club, runs(club))
    assert len(order(html)) == 200
    assert len(html.encode()) < 1_500_000
    assert 'id="pl-find"' in html


def test_nothing_is_loaded_from_anywhere(demo_results: Results) -> None:
    html = build_index(demo_results, runs(demo_results))
    assert not re.search(r'(?:src|href)="(?:https?:)?//', html)
    assert html.count("<table") == len(re.findall(r"<section class=\"pl-group\">", html))

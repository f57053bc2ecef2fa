"""The order of an athlete's page, and the controls of its picture."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import polars as pl
from markupsafe import Markup

from plateline.charts import trend_chart
from plateline.charts.figure import Figure
from plateline.charts.runtime import with_css_colours
from plateline.report import trends_words as say
from plateline.report.page import Picture, figure_markup, json_island, page_markup, still_figure
from plateline.report.sentences_data import CAUTIONS, METHODS, SOURCES
from plateline.report.trends import LONE_ATHLETE
from plateline.report.trends_data import page_data
from plateline.report.trends_next import targets_table
from plateline.report.trends_sections import lifts_table, records_table
from plateline.report.trends_words_data import data_heading

if TYPE_CHECKING:
    from plateline.report.trends import TrendsPage

__all__ = ["layout"]

PRINTED_LIFTS = 6
"""So many lifts have a still picture and are printed with their records."""

PRINTED_DAYS = 400
"""A printed picture shows a little more than the last year of a lift."""

MEASURES = (("max", "e1RM"), ("working", "Working strength"), ("volume", "Volume"))
STRETCHES = (
    ("0", "All"),
    ("730", "2 years"),
    ("365", "1 year"),
    ("182", "6 months"),
    ("91", "3 months"),
)
UNITS = (("kg", "kg"), ("lb", "lb"))


def layout(page: TrendsPage) -> str:
    """Return the whole page."""
    pictures: list[Picture] = []
    chapters = [
        ("one-lift", say.ONE_LIFT, _one_lift(page)),
        ("lifts", say.ALL_LIFTS, lifts_table(page, linked=True).html),
        ("muscles", say.MUSCLES, _muscles(page, pictures)),
        ("next", say.NEXT, page.next_steps().html),
        ("data", data_heading(page.frames["rejected"]), page.data_notes().html),
        ("methods", say.HOW_READ, _methods()),
    ]
    kept = [chapter for chapter in chapters if chapter[2].strip()]
    links = Markup("").join(
        Markup('<li><a href="#{}">{}</a></li>').format(ident, name) for ident, name, _ in kept
    )
    head = Markup('<nav class="pl-nav" aria-label="On this page"><ul>{}</ul></nav>').format(links)
    sections = [
        Markup('<section id="{}"><h2>{}</h2>{}</section>').format(*chapter) for chapter in kept
    ]
    return page_markup(
        title=say.title(page.client, LONE_ATHLETE),
        sections=[Markup("<section>{}</section>").format(page.opening().html), head, *sections],
        pictures=pictures,
        styles=("trends.css",),
        scripts=("trends.js",),
        data=json_island(_without_theme(page_data(page)), ident="pl-lifts"),
        runtime=True,
    )


def _without_theme(data: dict[str, Any]) -> dict[str, Any]:
    """Return the page's data, its specifications in the page's own colours."""
    specs = {
        name: with_css_colours({k: v for k, v in data[name].items() if k != "config"})
        for name in ("strength", "volume", "overview")
    }
    return data | specs


def _one_lift(page: TrendsPage) -> Markup:
    names = page.lift_names
    options = Markup("").join(
        Markup('<option value="{}">{}</option>').format(place, name)
        for place, name in enumerate(names)
    )
    controls = Markup(
        '<div class="pl-controls"><label class="pl-pick">{}<select id="pl-pick">{}</select></label>'
        "{}{}{}</div>"
    ).format(
        say.LIFT,
        options,
        _choice("measure", say.MEASURE, MEASURES),
        _choice("stretch", say.STRETCH, STRETCHES),
        _choice("unit", say.UNIT, UNITS),
    )
    window = Markup(
        '<div class="pl-window"><h3 id="pl-window-name"></h3>'
        '<p class="pl-window-says" id="pl-window-says" role="status"></p>'
        '<div id="pl-detail" tabindex="0" role="group" aria-labelledby="pl-window-name"></div>'
        '<div id="pl-overview" aria-hidden="true"></div><p class="pl-caption">{}</p></div>'
    ).format(say.caption())
    cards = Markup("").join(_card(page, place, name) for place, name in enumerate(names))
    return controls + window + Markup('<div class="pl-cards">{}</div>').format(cards)


def _choice(name: str, legend: str, options: tuple[tuple[str, str], ...]) -> Markup:
    buttons = Markup("").join(
        Markup('<label><input type="radio" name="pl-{}" value="{}">{}</label>').format(
            name, value, text
        )
        for value, text in options
    )
    return Markup("<fieldset><legend>{}</legend>{}</fieldset>").format(legend, buttons)


def _card(page: TrendsPage, place: int, name: str) -> Markup:
    """Return what is known of one lift: its state, still picture, records and loads."""
    row = page.frames["status"].row(place, named=True)
    still = Markup("")
    if place < PRINTED_LIFTS:
        figure = trend_chart(
            _lately(page.frames["curves"].filter(exercise=name)),
            page.frames["status"].filter(exercise=name),
            unit=page.unit,
            phases=page.frames["stretches"],
            relative=row["is_relative"],
        )
        still = still_figure(_picture(figure, 1000 + place))
    return Markup(
        '<article class="pl-card{}" data-lift="{}"><h3>{}</h3><p>{}</p>{}'
        '<div class="pl-pair">{}{}</div></article>'
    ).format(
        "" if place < PRINTED_LIFTS else " pl-rest",
        place,
        name,
        say.state_sentence(row),
        still,
        records_table(page, name).html,
        targets_table(page, name).html,
    )


def _lately(curve: pl.DataFrame) -> pl.DataFrame:
    """Return the last stretch of a curve; years of points would be a smear on paper."""
    last: dt.date = curve["date"].max()  # type: ignore[assignment]
    return curve.filter(pl.col("date") > last - dt.timedelta(days=PRINTED_DAYS))


def _muscles(page: TrendsPage, pictures: list[Picture]) -> Markup:
    if page.frames["muscles"].is_empty():
        return Markup("")
    pictures.append(_picture(page.muscles(), 1))
    return Markup('<div class="pl-gallery">{}</div>').format(figure_markup(pictures[0]))


def _picture(figure: Figure, number: int) -> Picture:
    return Picture(number, figure.spec, figure.title, figure.alt, figure.caption)


def _methods() -> Markup:
    return Markup('<p>{}</p><p class="pl-quiet">{}</p><p class="pl-caution">{}</p>').format(
        METHODS, SOURCES, CAUTIONS
    )

from __future__ import annotations

import re
from dataclasses import replace

import polars as pl
import pytest

from plateline.errors import InputFileError, NoResultError
from plateline.study.differences import differences
from plateline.study.models import effect_rows
from plateline.study.study import Study, load_study, run_study
from plateline.study.summary import adjusted, caveats, method, smallest_visible, summary

from . import groups

ADVICE = re.compile(
    r"\b(should|must|recommend\w*|advis\w*|optimal|better|best|worse|prefer\w*|switch to|"
    r"train (in|with|at)|try|use (long|heavy)|aim|because of|causes?|leads? to|improves?)\b",
    re.IGNORECASE,
)


@pytest.fixture(scope="module", params=["none", "effect"])
def study(request: pytest.FixtureRequest):
    found = groups.studied()
    return found if request.param == "effect" else without_effect(found)


def without_effect(study: Study) -> Study:
    """Return the study as it would be had every estimate come out at zero."""
    half = (pl.col("high") - pl.col("low")) / 2
    effects = study.effects.with_columns(
        effect_pct_week=pl.lit(0.0), low=-half, high=half, p=pl.lit(1.0)
    )
    return replace(study, effects=effects)


def test_the_summary_is_no_advice(study) -> None:
    for sentence in summary(study):
        assert not ADVICE.search(sentence), sentence
    assert any("chose their rep ranges themselves" in s for s in summary(study))
    assert any("95 % interval" in s for s in summary(study))


def test_a_difference_is_said_to_be_seen_only_after_holm(study) -> None:
    from statsmodels.stats.multitest import multipletests

    rows = adjusted(study)
    assert rows["p_holm"].to_list() == pytest.approx(
        multipletests(rows["p"].to_numpy(), method="holm")[1]
    )
    text = " ".join(summary(study))
    assert ("told from chance" in text) == (not rows["seen"].all())
    assert ("% a week less progress" in text) == bool(
        (rows["seen"] & (rows["effect_pct_week"] < 0)).any()
    )


def test_an_interval_that_leaves_out_zero_is_explained_where_holm_does_not_follow() -> None:
    study = groups.studied()
    rows = pl.col("term") == "rep zone"
    effects = study.effects.with_columns(
        effect_pct_week=pl.when(rows).then(-0.1).otherwise("effect_pct_week"),
        low=pl.when(rows).then(-0.19).otherwise("low"),
        high=pl.when(rows).then(-0.01).otherwise("high"),
        p=pl.when(rows).then(0.03).otherwise("p"),
    )
    said = summary(replace(study, effects=effects))
    assert (
        sum("could be told from chance" in s and "only when looked at alone" in s for s in said)
        == 3
    )


def test_what_many_lifters_cannot_mend_is_no_finding() -> None:
    study = groups.studied()
    rows = pl.col("term") == "rep zone"
    effects = study.effects.with_columns(
        effect_pct_week=pl.when(rows).then(0.01).otherwise("effect_pct_week"),
        low=pl.when(rows).then(0.008).otherwise("low"),
        high=pl.when(rows).then(0.012).otherwise("high"),
        p=pl.when(rows).then(1e-9).otherwise("p"),
    )
    said = summary(replace(study, effects=effects))
    assert sum("no larger than what the method itself can be off by" in s for s in said) == 3
    assert any("narrower than what the method itself" in s for s in said)
    assert not any("went with" in s for s in said[1:4])


def test_a_strong_effect_is_told_with_its_direction() -> None:
    assert any(
        s.startswith("Blocks of 13-20 reps went with 0.")
        and "less progress than the same lifters' blocks of 1-5 reps" in s
        for s in summary(groups.studied())
    )


def test_few_lifters_are_told_they_are_few() -> None:
    study = groups.studied()
    few = replace(study, facts=study.facts | {"used_lifters": 8})
    assert any("too few people" in s for s in summary(few))
    assert not any("too few people" in s for s in summary(study))


def test_a_zone_of_three_lifters_is_not_compared_and_that_is_said() -> None:
    """Errors robust within lifters are far too small where three lifters are all there is."""
    study = groups.studied()
    long = study.blocks.filter(pl.col("zone") == "13-20 reps")
    three = long["client"].unique().sort().head(3)
    kept = pl.col("zone").ne("13-20 reps") | pl.col("client").is_in(three.implode())
    blocks = study.blocks.filter(kept)
    contrasts = {row["contrast"] for row in effect_rows(blocks) if row["term"] == "rep zone"}
    assert contrasts == {"6-12 reps against 1-5 reps"}
    assert set(differences(blocks)["contrast"]) <= contrasts
    assert any(
        s.startswith("Blocks of 13-20 reps are left out")
        for s in summary(replace(study, blocks=blocks))
    )
    assert not any("left out" in s for s in summary(study))


def test_smallest_visible_difference_is_of_the_size_of_the_interval(study) -> None:
    rows = adjusted(study)
    narrowest = (rows["high"] - rows["low"]).min()
    assert smallest_visible(study) == pytest.approx(2.8 / 3.92 * narrowest)


def test_every_caveat_has_its_say(study) -> None:
    text = " ".join(caveats(study))
    for word in ("Choice", "Training age", "Regression to the mean", "Reps in reserve", "Survival",
                 "Scale", "Many comparisons"):  # fmt: skip
        assert word in text
    assert all(re.match(r"[A-Z][a-z ]+: ", line) for line in [*caveats(study), *method(study)])


def test_unknown_training_age_is_said(study) -> None:
    blank = replace(study, facts=study.facts | {"training_age_share": 0.0})
    assert any("not known for anyone" in s for s in caveats(blank))


def test_a_saved_study_comes_back(study, tmp_path) -> None:
    study.save(tmp_path)
    back = load_study(tmp_path)
    assert back.effects.equals(study.effects)
    assert back.blocks.equals(study.blocks)
    assert back.facts["primary"] == study.facts["primary"]
    assert summary(back) == summary(study)


def test_refusals_are_sentences(tmp_path) -> None:
    with pytest.raises(InputFileError, match="does not hold a saved study"):
        load_study(tmp_path)
    book = groups.logbook(groups.cohort(lifters=8))
    with pytest.raises(NoResultError, match="at least 4 blocks"):
        run_study(replace(book, sets=book.sets.head(10)))
    assert isinstance(book.sets, pl.DataFrame)

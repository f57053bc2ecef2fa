"""The mixed model: random effects of lifters and of their lifts, by restricted likelihood.

statsmodels' MixedLM takes seconds for a thousand lifters and minutes for ten thousand, so it is
fitted to a sample where there are more; the two-stage models take all. It knows no known
standard errors: blocks measured well and badly count alike, which costs precision.
"""

from __future__ import annotations

import hashlib
import warnings
from typing import Any

import numpy as np
import polars as pl

from plateline.study.design import (
    Design,
    adjustment_columns,
    in_compared_zones,
    reference,
    zone_columns,
)
from plateline.study.effects import codes, counts, informative_zones, zone_contrasts
from plateline.study.zones import ZONES

__all__ = ["MAX_LIFTERS", "MIXED", "mixed_rows", "sample_lifters"]

MIXED = "mixed model (REML)"
MAX_LIFTERS = 300
MIN_LIFTERS = 10
MOST_LIFTS_PER_BLOCK = 0.8
"""With more lifts than this per block, most have one block, and lift is all but noise."""


def sample_lifters(blocks: pl.DataFrame, most: int = MAX_LIFTERS) -> pl.DataFrame:
    """Return the blocks of at most `most` lifters: the same ones every time."""
    clients = blocks["client"].unique().to_list()
    if len(clients) <= most:
        return blocks
    chosen = sorted(clients, key=lambda c: hashlib.sha256(c.encode()).digest())[:most]
    return blocks.filter(pl.col("client").is_in(chosen))


def mixed_rows(blocks: pl.DataFrame) -> list[dict]:
    """Return rows of EFFECTS: contrasts of zones under the mixed model; none where it fails.

    The zone of a block enters as predicted from its first sessions, as in the other models.
    """
    some = in_compared_zones(sample_lifters(blocks))
    if some["client"].n_unique() < MIN_LIFTERS or not informative_zones(some):
        return []
    zones, start = zone_columns(some), zone_columns(some, "start_zone")
    adjust = adjustment_columns(some, training_age=True)
    one = Design(np.ones((some.height, 1)), ("constant",))
    first = (start + adjust + one).matrix
    predicted = first @ np.linalg.lstsq(first, zones.matrix, rcond=None)[0]
    design = Design(predicted, zones.names) + adjust + one
    result = fit_mixed(
        some["slope_pct_week"].to_numpy(), design.matrix, codes(some, ["client"]),
        codes(some, ["client", "exercise"]),
    )  # fmt: skip
    if result is None:
        return []
    size, base = counts(some), reference(some)
    rows = []
    for longer, shorter in zone_contrasts([base, *(z for z in ZONES if z in zones.names)]):
        vector = design.pick({z: s for z, s in ((longer, 1.0), (shorter, -1.0)) if z != base})
        effect = float(vector @ result["effect"])
        error = float(np.sqrt(vector @ result["covariance"] @ vector))
        rows.append(
            {
                "term": "rep zone", "contrast": f"{longer} against {shorter}",
                "effect_pct_week": effect, "low": effect - 1.96 * error,
                "high": effect + 1.96 * error, "p": _normal_p(effect / error), **size,
                "model": MIXED,
            }
        )  # fmt: skip
    return rows


def fit_mixed(
    y: np.ndarray, design: np.ndarray, lifter: np.ndarray, lift: np.ndarray | None = None
) -> dict[str, Any] | None:
    """Fit random intercepts of lifters, and of lifts within them where lifts have two blocks.

    Returns
    -------
    dict or None
        `effect` and `covariance` of the fixed effects, `lifter_sd`, `lift_sd` (0 where it
        could not be told from the noise), `noise_sd`; None where the fit does not converge.
    """
    from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

    order = np.argsort(lifter, kind="stable")
    y, design, lifter = y[order], design[order], lifter[order]
    nested = lift is not None and len(np.unique(lift)) < MOST_LIFTS_PER_BLOCK * len(y)
    parts: dict[str, Any] = {}
    extra = {}
    if nested and lift is not None:
        columns = [
            (lift[order][lifter == one][:, None] == np.unique(lift[order][lifter == one])) * 1.0
            for one in np.unique(lifter)
        ]
        names = [[f"lift {i}" for i in range(m.shape[1])] for m in columns]
        extra["exog_vc"] = VCSpec(["lift"], [names], [columns])
    model = MixedLM(y, design, groups=lifter, exog_re=np.ones((len(y), 1)), **extra)
    with warnings.catch_warnings():
        # a variance at zero and a slow optimiser are results here, told by the values below
        warnings.simplefilter("ignore")
        try:
            fit = model.fit(reml=True, method=["lbfgs", "powell"])
        except (np.linalg.LinAlgError, ValueError):
            return None
    k = design.shape[1]
    covariance = np.asarray(fit.cov_params())[:k, :k]
    if not np.isfinite(covariance).all() or (np.diag(covariance) <= 0).any():
        return None
    parts["effect"] = np.asarray(fit.fe_params)
    parts["covariance"] = covariance
    parts["lifter_sd"] = float(np.sqrt(max(np.asarray(fit.cov_re)[0, 0], 0.0)))
    parts["lift_sd"] = float(np.sqrt(max(fit.vcomp[0], 0.0))) if nested else 0.0
    parts["noise_sd"] = float(np.sqrt(fit.scale))
    return parts


def _normal_p(z: float) -> float:
    from scipy.stats import norm

    return float(2 * norm.sf(abs(z)))

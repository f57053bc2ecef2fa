"""The schema of Vega-Lite, as altair ships it, asked about a specification."""

from __future__ import annotations

from typing import Any

from altair.utils.schemapi import validate_jsonschema
from altair.vegalite.v6.schema.core import load_schema


def check(spec: dict[str, Any]) -> None:
    """Raise what jsonschema finds wrong; building altair's objects of it would take thrice as long."""
    validate_jsonschema(spec, load_schema())

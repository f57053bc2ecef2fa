"""Words of rows that sum other rows up, in six languages."""

from __future__ import annotations

__all__ = ["SUM_WORDS", "TOTAL_WORDS"]

SUM_WORDS = frozenset(
    (
        "total", "totals", "sum", "summe", "gesamt", "gesamtsumme", "zwischensumme", "subtotal", "somme",
        "totale", "totali", "totaux", "suma", "totales", "soma", "totais", "average", "avg",
        "sous total", "sottototale", "subtotale", "durchschnitt", "mittelwert", "moyenne", "media", "promedio", "média",
    )
)  # fmt: skip
"""Words for sums and means, which name no exercise and number no set."""

TOTAL_WORDS = SUM_WORDS | {"volume", "volumen", "tonnage", "max", "maximum", "best"}
"""First words of lines that sum up and hold no set, where such a line has no date of its own."""

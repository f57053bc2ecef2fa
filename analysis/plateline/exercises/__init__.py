"""Room `exercises`: the catalogue, the matching of names, and the logbook.

The way in is :func:`read_logbook` (or :func:`read_log` for the clean table alone).
:func:`load_catalogue` gives CATALOGUE, :func:`match_names` reads names as entries of it
(`name, catalogue, how, score, suggestion, variant`), :func:`annotate` gives the muscles,
pattern, equipment, position, laterality, body-mass share and substitutes of labels
(`exercise, catalogue, how, score, suggestion, variant, pattern, equipment, ...`).
"""

from plateline.exercises.annotation import annotate
from plateline.exercises.catalogue import EQUIPMENT, LATERALITIES, MUSCLES, load_catalogue
from plateline.exercises.logbook import Logbook
from plateline.exercises.match import match_names
from plateline.exercises.names import label_names, relabel
from plateline.exercises.reading import read_log, read_logbook

__all__ = [
    "EQUIPMENT",
    "LATERALITIES",
    "MUSCLES",
    "Logbook",
    "annotate",
    "label_names",
    "load_catalogue",
    "match_names",
    "read_log",
    "read_logbook",
    "relabel",
]

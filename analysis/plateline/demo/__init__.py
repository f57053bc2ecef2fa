"""The demo logbook: an invented club whose stories the reports must find.

`write_demo(folder)` writes `log.csv`, `clients.csv`, `checkins.csv`, `plan.csv` and
`truth.csv` (the stories as claims that a machine can check), the same bytes every time.
"""

from plateline.demo.logbook_files import demo_files, write_demo

__all__ = ["demo_files", "write_demo"]

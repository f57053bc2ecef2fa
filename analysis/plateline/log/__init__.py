"""Room `log`: from the files people have to clean sets, with every row accounted for.

The way in is :func:`read_intake`; :func:`read_clients`, :func:`read_checkins` and
:func:`read_plan` read the files beside the log. Nothing here knows muscles or statistics.
"""

from plateline.log.account import Account, AccountError
from plateline.log.companions import read_checkins, read_clients, read_plan
from plateline.log.intake import read_intake
from plateline.log.intake_types import Intake
from plateline.log.store import Added, add_to_logbook, client_folder
from plateline.log.write import spreadsheet_safe, write_columns, write_intake

__all__ = [
    "Account",
    "AccountError",
    "Added",
    "Intake",
    "add_to_logbook",
    "client_folder",
    "read_checkins",
    "read_clients",
    "read_intake",
    "read_plan",
    "spreadsheet_safe",
    "write_columns",
    "write_intake",
]

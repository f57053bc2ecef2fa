"""Read the short forms of the trade (`3x10@60`, `100x5`, `140kg 8,7,6`) into sets.

The grammar is `notation.lark`; NOTATION.md explains it to people. A parser built from the
grammar takes a cell apart; this module then says which number is a load, which a count of
reps and which a count of sets, and refuses what can be read two ways.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from plateline.log.numbers import plain, without_marks
from plateline.log.values import BODY, SIDE_WORD, SetsRefused, Unreadable, read_effort
from plateline.words import SetKind

if TYPE_CHECKING:
    from lark import Lark

__all__ = ["NotedSet", "parse_sets", "shows_load_first"]

LONGEST_CELL = 500
"""Characters beyond which a cell is no list of sets of one exercise (20 sets take some 300)."""

MOST_SETS = 20
"""Sets of one exercise in one form such as 3x10@60: a first number above it is a load."""

USUAL_SETS = 10
"""In `10x12` a first number up to this can count sets; the file must show that it is a load."""

SURE_LOAD = 30.0
"""In `100x5` a first number above this is a load: nobody does so many sets or writes so many
reps before the load without a unit."""

HIGH_REPS = 20
"""In `12x50` a second number above this can be the load of 12 reps."""

LARGEST_RPE = 10.0

_KINDS = {
    "work": SetKind.WORKING, "working": SetKind.WORKING, "w/u": SetKind.WARM_UP,
    "w": SetKind.WARM_UP, "wu": SetKind.WARM_UP, "warmup": SetKind.WARM_UP,
    "warm-up": SetKind.WARM_UP, "warm up": SetKind.WARM_UP, "aufwärmen": SetKind.WARM_UP,
    "top": SetKind.TOP, "ts": SetKind.TOP, "top set": SetKind.TOP, "topset": SetKind.TOP,
    "bo": SetKind.BACK_OFF, "backoff": SetKind.BACK_OFF, "back-off": SetKind.BACK_OFF,
    "back off": SetKind.BACK_OFF, "d": SetKind.DROP, "ds": SetKind.DROP, "drop": SetKind.DROP,
    "drop set": SetKind.DROP, "dropset": SetKind.DROP,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class NotedSet:
    """One set of a short form. `load` is None where the cell gives none; `unit` kg, lb or None."""

    reps: int
    load: float | None = None
    unit: str | None = None
    rir: float | None = None
    kind: SetKind | None = None
    side: str | None = None
    flag: str | None = None
    remark: str | None = None


@dataclass(frozen=True, slots=True)
class _Quantity:
    """One factor of a chain: its values, and what it must be where its unit says so."""

    kind: str
    values: tuple[float, ...]
    unit: str | None = None
    text: str = ""

    @property
    def is_load(self) -> bool:
        return self.kind in ("signed", "body") or self.unit in ("kg", "lb", "each")

    @property
    def is_bare(self) -> bool:
        return self.kind == "number" and self.unit is None


@dataclass(slots=True)
class _Piece:
    """A chain with what follows it, before it is known what its numbers are."""

    chain: list[_Quantity]
    at: list[_Quantity] = field(default_factory=list)
    rir: float | None = None
    kind: SetKind | None = None
    remark: str | None = None
    side: str | None = None
    before: str = ""


@lru_cache(maxsize=1)
def _parser() -> Lark:
    from lark import Lark

    grammar = resources.files("plateline.log").joinpath("notation.lark").read_text("utf-8")
    return Lark(grammar, parser="lalr", lexer="contextual", propagate_positions=False)


def shows_load_first(text: str) -> bool:
    """Say whether a cell shows that its writer puts the load first: `100x5`, not `3x10@60`."""
    found = re.match(
        r"\s*(\d+(?:[.,]\d+)?)\s*[x×*]\s*\d{1,3}(?![\d.]|\s*[x×*@]|\s*(?:kg|lb))", text
    )
    if not found:
        return False
    value = float(found.group(1).replace(",", "."))
    return value > SURE_LOAD or value % 1 != 0


def parse_sets(text: str, *, load_first: bool = False) -> list[NotedSet]:
    """Read every set that a cell notes.

    Parameters
    ----------
    text
        The cell.
    load_first
        Whether the file shows that `10x12` is load x reps (some first number is too large
        to count sets); else a first number up to 10 is refused, for it can count sets. One
        up to 5 is refused even then.

    Raises
    ------
    Unreadable
        When the cell is no short form, is a plan (`3x8-10@60`), or can be read two ways.
    """
    from lark.exceptions import LarkError

    if len(text) > LONGEST_CELL:
        raise Unreadable(f"{text[:40]!r}... is too long for the sets of one exercise.")
    shown = plain(text)
    bare, cheer = without_marks(shown)
    if cheer:
        *first, last = parse_sets(bare, load_first=load_first)
        return [*first, replace(last, remark="; ".join(t for t in (last.remark, cheer) if t))]
    try:
        pieces = _taken_apart(_prepare(shown), shown)
    except LarkError:
        raise Unreadable(
            f"{shown!r} is not a short form; write it like 3x10@60, 100x5 or 140kg 8,7,6."
        ) from None
    return _fold(pieces, shown, load_first)


_REWRITES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), new)
    for pattern, new in (
        (rf"(?<![a-zà-ÿ]){BODY}(?![a-zà-ÿ])", "bw"),
        (r"[×✕✖*·]|(?<=\d) ?\bmal\b ?", "x"),
        (r"#\s*(\d+(?:[.,]\d+)?)", r"\1lb"),
        (r"(?<=\d)\s*#", "lb"),
        (r"(?<=\d)\s*(?:kgs?|kilos?|k)(?![a-zà-ÿ])\.?", "kg"),
        (r"(?<=\d)\s*(?:lbs?|pounds?)(?![a-zà-ÿ])\.?", "lb"),
        (r"(?<=\d)\s*(?:sets?|sätze?|satz|séries?|series?|serie)(?![a-zà-ÿ])\s*"
         r"(?:of|à|a|de|di|da|zu je|zu|mit|x|×)?\s*(?=\d)", "sets x "),
        (r"(?<=\d)\s*(?:reps?|repetitions?|wdh|wiederholungen|répétitions?|repeticiones|ripetizioni|"
         r"repetições|whl)(?![a-zà-ÿ])\.?", "reps"),
        (r"(?<=\d|g|b)\s*(?:each|(?:/|per|je|pro|par|por)\s*(?:hand|main|mano|mão))(?![a-zà-ÿ])", "each"),
        (r"(?<=kg|lb)each", ""),
        (r"bw\s*(?:plus|with|and|mit|und|plus|avec|et|con|y|più|com|mais)\s*(?=\d)", "bw+"),
        (r"bw\s*([+-])\s*(?=\d)", r"bw\1"),
        (rf"(?<=\d|s)\s*{SIDE_WORD}(?![a-zà-ÿ])\.?", " (each side)"),
        (r"\b(?:amrap|max)\b:?\s*(?=\d)(\d+)", r"\1amrap"),
        (r"(?<=\d)(?:reps)?\s+(?:at|mit|à|con|avec|com|with|bei|w/)\s+(?=\d|bw)", "@"),
        (r"(?<=[\dgbw])\s+(?:for|für|pour|por|per)\s+(?=\d)", "x"),
        (r"(?<=\d)(w|wu|d|f)(?![a-zà-ÿ])", r"(\1)"),
        (r"\b(?:then|und|and|et|poi|dann|luego|puis)\b", ";"),
        (r"(?<=[gbw\d])\s*\((\d+(?:\s*[,/;-]\s*\d+)+)\)", r": \1"),
        (r"\b2\s*x\s*(\d+(?:[.,]\d+)?(?:kg|lb))(?=\s*:?\s+\d+(?:\s*[/,;-]\s*\d+)+)", r"\1"),
        (r"\n+", ";"),
        (r"(?<=kg|lb|bw)\s*:\s*(?=\d)", ": "),
    )
)  # fmt: skip
# A comma between digits is a decimal mark only where a load stands: before a unit or a
# times sign (not after one), after @ or a sign, or as a half or quarter before a list.
_DECIMALS: tuple[re.Pattern[str], ...] = tuple(
    re.compile(pattern)
    for pattern in (
        r"(?<![x\d.,/])(\d+),(\d{1,2})(?=\s*(?:kg|lb|x))",
        r"(?<=\d,)(\d+),(5|25|75|50)(?=\s*(?:kg|lb|x))",
        r"(?<=[@+])(\s*\d+),(\d{1,2})(?![\d,]|\s*x)",
        r"(?<=kgx)(\d+),(\d{1,2})(?=\s*(?:kg|lb))",
        r"(?<![x\d.,/])(?<!x )(\d+),(5|25|75|50)(?=\s*:?\s+\d)",
        r"((?:rpe|rir)\s*\d+),(\d)(?![\d,])",
        r"(?<=x)(\d+),(\d{1,2})(?=\s*(?:kg|lb))",
    )
)


_PLAIN_FORM = re.compile(r"[\dx.,;@/+ -]*")


def _prepare(shown: str) -> str:
    if _PLAIN_FORM.fullmatch(shown):
        text = shown.strip(" .;,")  # no word in it, so nothing to rewrite
    else:
        text = re.sub(r"(?<!\d)(?<!\d )\bKG(?![A-WYZa-wyz])", "bw", shown).casefold().strip(" .;,")
        for pattern, new in _REWRITES:
            text = pattern.sub(new, text)
    if re.match(r"[xX×]\s*\d", text):
        # `x8 x8 x7`: the load stands elsewhere, and each times sign begins a set.
        text = re.sub(r"[,;/]?\s*(?:^|(?<=[\s,;/]))[xX×]\s*(?=\d)", ", ", text).strip(" ,")
    text = re.sub(r"\s*x\s*", "x", re.sub(r"\s*@\s*", "@", text))
    if "," in text:
        for pattern in _DECIMALS:
            text = pattern.sub(r"\1.\2", text)
    return text


def _taken_apart(prepared: str, shown: str) -> list[_Piece]:
    """Parse a cell, part by part where commas and semicolons part it.

    The parts of a long log repeat (`60x10` stands in many cells), so each is parsed once.
    """
    if not prepared or "(" in prepared or "[" in prepared:
        return _pieces(_parser().parse(prepared), shown)[0]
    pieces: list[_Piece] = []
    kind: SetKind | None = None
    before = ""
    for part in re.split(r"([,;])", prepared):
        if part in (",", ";"):
            before = part
        elif part.strip():
            found, last_kind = _parsed_part(part.strip())
            for position, piece in enumerate(found):
                own = replace(piece, chain=list(piece.chain), at=list(piece.at))
                if position == 0:
                    own.before = before or own.before
                    own.kind = own.kind or kind
                    kind = None
                pieces.append(own)
            kind = last_kind or kind
            before = "" if found else before
    return pieces


@lru_cache(maxsize=100_000)
def _parsed_part(part: str) -> tuple[tuple[_Piece, ...], SetKind | None]:
    pieces, kind = _pieces(_parser().parse(part), part)
    return tuple(pieces), kind


def _pieces(tree: Any, shown: str) -> tuple[list[_Piece], SetKind | None]:
    """Return the pieces of a parsed text, and a kind that waits for the next one."""
    pieces: list[_Piece] = []
    kind: SetKind | None = None
    before = ""
    for child in tree.children:
        label = getattr(child, "type", None)
        if label == "TAG":
            kind = _KINDS[re.sub(r"[- ]?sets?$", "", str(child).strip(" .:"))]
        elif label == "SEP":
            before = str(child)
        else:
            piece = _piece(child, shown)
            piece.before = before or (" " if pieces else "")
            piece.kind = piece.kind or kind
            pieces.append(piece)
            before = ""
            kind = None
    return pieces, kind


def _piece(tree: Any, shown: str) -> _Piece:
    chain, *after = tree.children
    factors = [c for c in chain.children if getattr(c, "type", None) != "TIMES"]
    piece = _Piece([_quantity(f) for f in factors])
    for part in after:
        texts = [str(c) for c in part.children if getattr(c, "type", None) != "AT"]
        if part.data == "at":
            piece.at.append(_quantity(part.children[-1]))
        elif part.data == "effort":
            piece.rir = read_effort(texts[-1], "rpe")
        elif part.data == "failed":
            piece.rir = None if texts[-1] == "amrap" else 0.0
        else:
            _bracket(piece, texts[-1][1:-1].strip(), shown)
    return piece


def _bracket(piece: _Piece, inside: str, shown: str) -> None:
    if inside in _KINDS:
        piece.kind = _KINDS[inside]
    elif inside == "each side":
        piece.side = "each"
    elif re.fullmatch(r"@? ?(?:(?:rir|rpe) ?@?\d.*|\d.* ?(?:rir|rpe)|f|fail|failure|mv)", inside):
        piece.rir = read_effort(inside, "rpe")
    elif re.fullmatch(r"@ ?\d+(?:[.,]\d)?", inside):
        piece.rir = read_effort(inside.strip("@ "), "rpe")
    elif inside == "bw":
        piece.at.append(_Quantity("body", (0.0,), None, inside))
    elif load := re.fullmatch(r"@? ?(\d+(?:\.\d+)?)(kg|lb)", inside):
        piece.at.append(_Quantity("number", (float(load.group(1)),), load.group(2), inside))
    elif re.search(r"\d\s*x\s*\d", inside):
        raise SetsRefused(f"{shown!r} has sets in brackets; write them without.")
    else:
        piece.remark = inside or None


def _quantity(tree: Any) -> _Quantity:
    tokens = [str(t) for t in tree.children]
    unit = (
        tokens[-1]
        if len(tokens) > 1 and tokens[-1] in ("kg", "lb", "sets", "reps", "each")
        else None
    )
    head = tokens[0]
    kind = str(tree.data)
    if kind == "body":
        load = float(tokens[1]) if len(tokens) > 1 and tokens[1] != unit else 0.0
        return _Quantity(kind, (load,), unit, head)
    if kind == "hold":
        return _Quantity(kind, (), None, head)
    if kind == "signed":
        return _Quantity(kind, (float(head),), unit, head)
    numbers = tuple(float(n) for n in re.findall(r"\d+(?:\.\d+)?", head))
    return _Quantity(kind, numbers, unit, head)


def _fold(pieces: list[_Piece], shown: str, load_first: bool) -> list[NotedSet]:
    """Give every piece its load: its own, the one before it, or the `@` that closes a list."""
    sets: list[NotedSet] = []
    load: tuple[float, str | None] | None = None
    heads_list = False
    waiting: list[int] = []
    surest = USUAL_SETS if not load_first else USUAL_SETS / 2
    surest = 0.0 if any(_shows_load_first(p) for p in pieces) else surest
    pieces = _join_trailing_loads(pieces)
    for position, piece in enumerate(pieces):
        following = pieces[position + 1] if position + 1 < len(pieces) else None
        if waiting and following is None and piece.before in (" ", "") and _is_one_load(piece):
            load = _load_of(piece.chain[0])
            for index in waiting:
                sets[index] = replace(sets[index], load=load[0], unit=load[1])
            continue
        if _is_lone_load(piece, following, first=not sets and load is None):
            load, heads_list = _load_of(piece.chain[0]), True
            _check_lone_load(piece.chain[0], following, shown)
            continue
        lone = len(piece.chain) == 1
        if lone and piece.before == " " and sets and not piece.at and not heads_list:
            raise SetsRefused(
                f"{shown!r} can be read two ways; part sets with a comma, such as 60x10, 60x9."
            )
        known = load is not None and (lone or heads_list)
        noted, own = _sets_of(piece, shown, surest, known_load=known)
        if own is not None and lone:
            for index in waiting:
                sets[index] = replace(sets[index], load=own[0], unit=own[1])
        if own is not None:
            noted = [replace(s, load=own[0], unit=own[1]) for s in noted]
            load, heads_list = (load, heads_list) if lone else (own, False)
            waiting = []
        elif load is not None:
            noted = [replace(s, load=load[0], unit=load[1]) for s in noted]
        elif lone:
            waiting.extend(range(len(sets), len(sets) + len(noted)))
        if piece.before in (">", "->") and _is_lighter(noted[0], sets[-1] if sets else None):
            noted = [replace(s, kind=s.kind or SetKind.DROP) for s in noted]
        sets.extend(noted)
    if not sets:
        raise SetsRefused(f"{shown!r} has a load but no reps; write it like 100x5.")
    return sets


def _shows_load_first(piece: _Piece) -> bool:
    return len(piece.chain) == 2 and not piece.at and _is_sure_load(piece.chain[0])


def _is_sure_load(quantity: _Quantity) -> bool:
    value = quantity.values[0] if quantity.values else 0.0
    return quantity.is_bare and (value > SURE_LOAD or value % 1 != 0)


def _counts_sets(piece: _Piece) -> bool:
    """Say whether a chain can be sets x reps: `3x10`, `5x8-10`."""
    first = piece.chain[0]
    return (
        len(piece.chain) == 2 and first.unit in (None, "sets") and first.kind == "number"
        and first.values[0] <= USUAL_SETS and first.values[0] % 1 == 0
    )  # fmt: skip


def _join_trailing_loads(pieces: list[_Piece]) -> list[_Piece]:
    """Read `3x10 60kg` and `3x10 60` as `3x10@60`."""
    joined: list[_Piece] = []
    for position, piece in enumerate(pieces):
        last = joined[-1] if joined else None
        after = pieces[position + 1].before if position + 1 < len(pieces) else ";"
        quantity = piece.chain[0]
        is_trailing = (
            last is not None and len(piece.chain) == 1 and piece.before in (" ", "")
            and not piece.at and not last.at and _counts_sets(last) and after not in (" ", ":")
            and (quantity.is_load or (quantity.is_bare and quantity.values[0] > LARGEST_RPE))
        )  # fmt: skip
        if is_trailing and last is not None:
            last.at.append(quantity)
            last.rir = last.rir if piece.rir is None else piece.rir
        else:
            joined.append(piece)
    return joined


def _is_lighter(one: NotedSet, before: NotedSet | None) -> bool:
    """Say whether a set drops from the one before it: the second of `80x8 > 60x6`."""
    return bool(
        before and one.load is not None and before.load is not None and one.load < before.load
    )


def _is_one_load(piece: _Piece) -> bool:
    """Say whether a piece is a load and nothing else: the `60kg` that closes `8,8,7 60kg`."""
    return len(piece.chain) == 1 and not piece.at and piece.chain[0].is_load


def _is_lone_load(piece: _Piece, following: _Piece | None, *, first: bool) -> bool:
    """Say whether a load stands alone before the reps it counts for: `140kg 8,7,6`, `140: 8, 7`."""
    if len(piece.chain) != 1 or piece.at or piece.rir is not None:
        return False
    quantity = piece.chain[0]
    if quantity.is_load:
        return True
    if not quantity.is_bare or following is None or not first:
        return False
    follows = following.chain[0]
    starts_reps = len(following.chain) == 1 or _counts_sets(following)
    return (
        starts_reps and not following.at and not follows.is_load
        and following.before in (" ", ":", "=")
    )  # fmt: skip


def _check_lone_load(load: _Quantity, following: _Piece | None, shown: str) -> None:
    """Refuse `5 7`: two small bare numbers can be load and reps, or two sets of reps."""
    if following is None or not load.is_bare:
        return
    counts = following.chain[0]
    if (
        len(following.chain) == 1
        and following.before == " "
        and load.values[0] <= max(counts.values, default=0.0)
    ):
        raise SetsRefused(f"{shown!r} can be read two ways; write it like 100x5 or 100kg 8,7.")


def _load_of(quantity: _Quantity) -> tuple[float, str | None]:
    unit = quantity.unit if quantity.unit in ("kg", "lb") else None
    return quantity.values[0], unit


def _sets_of(
    piece: _Piece, shown: str, most_sets: float, *, known_load: bool
) -> tuple[list[NotedSet], tuple[float, str | None] | None]:
    """Return the sets of one chain and the load it gives itself."""
    chain = list(piece.chain)
    if any(q.kind == "hold" for q in chain):
        raise SetsRefused(f"{shown!r} holds a time; only sets with repetitions are read.")
    for quantity in chain:
        if quantity.kind == "range":
            low, high = quantity.values
            raise SetsRefused(
                f"{shown!r} is a plan (from {low:g} to {high:g}), not a set that was done; write the "
                "reps done."
            )
    load, rir = _at(piece, shown, known_load=known_load)
    count = 1
    if chain[0].unit == "sets":
        count = _whole_number(chain.pop(0), shown)
    typed = [i for i, q in enumerate(chain) if q.is_load]
    if len(typed) > 1 or (typed and load is not None):
        raise SetsRefused(f"{shown!r} gives two loads for one set; part sets with a comma.")
    if typed:
        given = chain.pop(typed[0])
        load = _load_of(given)
        reps, count = _around(chain, typed[0], count, shown)
        _check_times_body(given, reps, typed[0], count, shown)
    elif load is not None or known_load:
        reps, count = _around(chain, len(chain), count, shown)
    elif len(chain) == 1:
        reps = chain[0]
    elif len(chain) == 2:
        first, reps = chain
        if not first.is_bare:
            raise SetsRefused(f"{shown!r} is not a short form; write it like 3x10@60.")
        _check_first_load(first, reps, 0.0 if count > 1 else most_sets, shown)
        load = _load_of(first)
    elif len(chain) == 3 and count == 1:
        load, reps, count = _three(chain, shown)
    else:
        raise SetsRefused(f"{shown!r} has too many numbers in a row; write it like 3x10@60.")
    noted = _with_reps(reps, shown) * count
    rir = piece.rir if piece.rir is not None else rir
    return [
        replace(
            s, rir=rir, kind=piece.kind, remark=piece.remark or s.remark, side=s.side or piece.side
        )
        for s in noted
    ], load


def _check_first_load(first: _Quantity, reps: _Quantity, most_sets: float, shown: str) -> None:
    """Refuse `AxB` where A can as well count sets, or be the reps of a load B."""
    value, count = first.values[0], max(reps.values, default=0.0)
    if not most_sets or _is_sure_load(first):
        return
    if reps.kind == "range":
        _with_reps(reps, shown)
    if value <= most_sets and count > SURE_LOAD:
        raise SetsRefused(
            f"{shown!r} has {count:g} where reps stand; write the load first, {count:g}x{value:g}, or "
            f"give it a unit, {value:g}x{count:g}kg."
        )
    if value <= most_sets:
        raise SetsRefused(
            f"{shown!r} can be {value:g} sets or a load of {value:g}; write it like "
            f"{value:g}x{reps.text}@60, or with a unit: {value:g}kg x {reps.text}."
        )
    if most_sets == USUAL_SETS and count > HIGH_REPS and count > value:
        raise SetsRefused(
            f"{shown!r} can be a load of {value:g} or {value:g} reps; write it with a unit: "
            f"{value:g}kg x {reps.text}, or {value:g}x{reps.text}kg."
        )


def _check_times_body(
    load: _Quantity, reps: _Quantity, position: int, count: int, shown: str
) -> None:
    """Refuse `3xBW`: a small number before body mass can count reps, sets or body masses."""
    if load.kind != "body" or load.values[0] or position == 0 or count > 1 or not reps.is_bare:
        return
    if reps.values[0] <= USUAL_SETS / 2:
        n = f"{reps.values[0]:g}"
        raise SetsRefused(
            f"{shown!r} can be {n} reps, {n} sets or {n} times body mass; write it like BWx{n}, "
            f"{n}x8@BW, or the load in kg."
        )


def _at(
    piece: _Piece, shown: str, *, known_load: bool
) -> tuple[tuple[float, str | None] | None, float | None]:
    """Say what stands after `@`: a load (`3x10@60`), or an RPE (`100x5@8`)."""
    load: tuple[float, str | None] | None = None
    rir: float | None = None
    chain = piece.chain
    first_is_load = len(chain) == 2 and chain[0].is_bare and chain[0].values[0] > MOST_SETS
    first_is_load = first_is_load or any(q.is_load for q in chain) or len(chain) == 3
    for quantity in piece.at:
        if quantity.kind == "range" and not quantity.is_load:
            low, high = quantity.values
            if high <= LARGEST_RPE:
                rir = 10 - (low + high) / 2
                continue
            raise SetsRefused(f"{shown!r} is a plan (a range of loads), not a set that was done.")
        if quantity.kind not in ("number", "signed", "body"):
            raise SetsRefused(f"{shown!r} has no load or RPE after @; write it like 3x10@60.")
        value = quantity.values[0]
        if not quantity.is_bare or value > LARGEST_RPE:
            if first_is_load or load is not None:
                raise SetsRefused(f"{shown!r} gives two loads for one set; write it like 3x10@60.")
            load = _load_of(quantity)
        elif first_is_load or load is not None or known_load:
            rir = read_effort(quantity.text, "rpe")
        else:
            raise SetsRefused(
                f"{shown!r} has {value:g} after @, which can be a load or an RPE; write "
                f"{value:g}kg or RPE{value:g}."
            )
    return load, rir


def _around(chain: list[_Quantity], position: int, count: int, shown: str) -> tuple[_Quantity, int]:
    """Read what stands around a known load: sets x reps before it, reps x sets after it."""
    if len(chain) == 1:
        return chain[0], count
    if position == 0 and len(chain) > 2 and count == 1 and all(q.is_bare for q in chain):
        values = tuple(q.values[0] for q in chain)
        return _Quantity("list", values, None, shown), 1
    if len(chain) != 2 or count > 1:
        raise SetsRefused(f"{shown!r} is not a short form; write it like 3x10@60.")
    first, second = chain
    if position == 0:
        return _reps_and_sets(first, second, shown)
    if position == 1 and first.is_bare and first.values[0] == 2:
        raise SetsRefused(
            f"{shown!r} can be a pair of dumbbells or two sets; write 30kg x 10 (per hand) or "
            "2x10@30kg."
        )
    return second, _whole_number(first, shown)


def _reps_and_sets(first: _Quantity, second: _Quantity, shown: str) -> tuple[_Quantity, int]:
    """Part the two numbers after a load: people write reps x sets and sets x reps."""
    if first.unit == "reps" or second.unit == "sets":
        return first, _whole_number(second, shown)
    if second.unit == "reps" or first.unit == "sets":
        return second, _whole_number(first, shown)
    a, b = max(first.values, default=0.0), max(second.values, default=0.0)
    if a > USUAL_SETS >= b or a == b:
        return first, _whole_number(second, shown)
    if b > USUAL_SETS >= a:
        return second, _whole_number(first, shown)
    raise SetsRefused(
        f"{shown!r} can be {a:g} sets of {b:g} or {b:g} sets of {a:g}; write it like {b:g}x{a:g}@60."
    )


def _three(chain: list[_Quantity], shown: str) -> tuple[tuple[float, str | None], _Quantity, int]:
    """Read three bare numbers: sets x reps x load, or load x reps x sets."""
    first, middle, last = chain
    if not first.is_bare or not last.is_bare:
        raise SetsRefused(f"{shown!r} is not a short form; write it like 3x10@60.")
    a, c = first.values[0], last.values[0]
    if a == c or (a <= MOST_SETS < c) or (c % 1 and not a % 1):
        return _load_of(last), middle, _whole_number(first, shown)
    if c <= MOST_SETS < a or (a % 1 and not c % 1):
        reps, count = _reps_and_sets(middle, last, shown)
        return _load_of(first), reps, count
    raise SetsRefused(
        f"{shown!r} can be sets x reps x load or load x reps x sets; write it like "
        f"{a:g}x{middle.text}@{c:g}kg."
    )


def _whole_number(quantity: _Quantity, shown: str) -> int:
    if quantity.kind == "range":
        raise SetsRefused(f"{shown!r} is a plan (a range of sets), not a set that was done.")
    if quantity.kind != "number" or quantity.values[0] % 1 or not 1 <= quantity.values[0] <= 50:
        raise SetsRefused(f"{shown!r} has no count of sets from 1 to 50; write it like 3x10@60.")
    return int(quantity.values[0])


def _with_reps(quantity: _Quantity, shown: str) -> list[NotedSet]:
    if quantity.kind == "range":
        raise SetsRefused(
            f"{shown!r} is a plan (reps from {quantity.values[0]:g} to {quantity.values[1]:g}), "
            "not a set that was done; write the reps done."
        )
    if quantity.is_load or quantity.unit == "sets" or not quantity.values:
        raise SetsRefused(f"{shown!r} has no reps; write it like 3x10@60.")
    if any(v % 1 for v in quantity.values):
        raise SetsRefused(f"{shown!r} has a part of a rep; count whole reps.")
    counts = [int(v) for v in quantity.values]
    if min(counts) < 1:
        raise SetsRefused(f"{shown!r} has a set without a repetition.")
    if max(counts) > 1000:
        raise SetsRefused(f"{shown!r} has more than 1000 reps in a set; correct it.")
    if quantity.kind == "sides":
        return [NotedSet(min(counts), side=quantity.text.replace(" ", ""))]
    if quantity.kind == "cluster":
        return [NotedSet(sum(counts), flag="cluster", remark=f"cluster {quantity.text}")]
    return [NotedSet(count) for count in counts]

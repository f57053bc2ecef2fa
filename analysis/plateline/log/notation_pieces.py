"""A short form taken apart by the grammar: chains of numbers, and what follows each."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from plateline.log.value_effort import read_effort
from plateline.log.values import SetsRefused
from plateline.words import SetKind

if TYPE_CHECKING:
    from lark import Lark


__all__ = ["Piece", "Quantity", "taken_apart"]


_KINDS = {
    "work": SetKind.WORKING, "working": SetKind.WORKING, "w/u": SetKind.WARM_UP,
    "w": SetKind.WARM_UP, "wu": SetKind.WARM_UP, "warmup": SetKind.WARM_UP,
    "warm-up": SetKind.WARM_UP, "warm up": SetKind.WARM_UP, "aufwärmen": SetKind.WARM_UP,
    "top": SetKind.TOP, "ts": SetKind.TOP, "top set": SetKind.TOP, "topset": SetKind.TOP,
    "bo": SetKind.BACK_OFF, "backoff": SetKind.BACK_OFF, "back-off": SetKind.BACK_OFF,
    "back off": SetKind.BACK_OFF, "d": SetKind.DROP, "ds": SetKind.DROP, "drop": SetKind.DROP,
    "drop set": SetKind.DROP, "dropset": SetKind.DROP,
}  # fmt: skip
"""The tags of `notation.lark`, without `set` behind them. Words for kinds in a column of their own are
many more (`kinds`): there, a word that is not known costs no set."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """One factor of a chain: its values, and what it must be where its unit says so."""

    kind: str
    values: tuple[float, ...]
    unit: str | None = None
    text: str = ""

    @property
    def is_load(self) -> bool:
        """Whether it can only be a load: it has a unit, a sign or is body mass."""
        return self.kind in ("signed", "body") or self.unit in ("kg", "lb", "each")

    @property
    def is_bare(self) -> bool:
        """Whether it is a number and nothing else."""
        return self.kind == "number" and self.unit is None


@dataclass(slots=True)
class Piece:
    """A chain with what follows it, before it is known what its numbers are."""

    chain: list[Quantity]
    at: list[Quantity] = field(default_factory=list)
    rir: float | None = None
    kind: SetKind | None = None
    remark: str | None = None
    side: str | None = None
    before: str = ""
    stands: bool = False
    """Whether the kind holds for the pieces after it too, up to the next kind."""

    def copy(self) -> Piece:
        """Return a piece of its own, which may be changed."""
        return Piece(
            list(self.chain), list(self.at), self.rir, self.kind, self.remark, self.side,
            self.before, self.stands,
        )  # fmt: skip


_Tag = tuple[SetKind, bool]
"""A kind before a set, and whether it stands for those after it too."""


@lru_cache(maxsize=1)
def _parser() -> Lark:
    from lark import Lark

    grammar = resources.files("plateline.log").joinpath("notation.lark").read_text("utf-8")
    return Lark(grammar, parser="lalr", lexer="contextual", propagate_positions=False)


def taken_apart(prepared: str, shown: str) -> list[Piece]:
    """Parse a cell, part by part where commas and semicolons part it.

    The parts of a long log repeat (`60x10` stands in many cells), so each is parsed once.
    """
    if not prepared or "(" in prepared or "[" in prepared:
        return _with_standing_kinds(_pieces(_parser().parse(prepared), shown)[0])
    pieces: list[Piece] = []
    tag: _Tag | None = None
    before = ""
    for part in re.split(r"([,;])", prepared):
        if part in (",", ";"):
            before = part
        elif part.strip():
            found, last_tag = _parsed_part(part.strip())
            for position, piece in enumerate(found):
                own = piece.copy()
                if position == 0:
                    own.before = before or own.before
                    if tag is not None and own.kind is None:
                        own.kind, own.stands = tag
                    tag = None
                pieces.append(own)
            tag = last_tag or tag
            before = "" if found else before
    return _with_standing_kinds(pieces)


def _with_standing_kinds(pieces: list[Piece]) -> list[Piece]:
    """Give a kind with a colon (`warm-up: 60x5, 80x3`) to all sets up to the next kind."""
    standing: SetKind | None = None
    for piece in pieces:
        if piece.kind is not None:
            standing = piece.kind if piece.stands else None
        else:
            piece.kind = standing
    return pieces


@lru_cache(maxsize=100_000)
def _parsed_part(part: str) -> tuple[tuple[Piece, ...], _Tag | None]:
    pieces, tag = _pieces(_parser().parse(part), part)
    return tuple(pieces), tag


def _pieces(tree: Any, shown: str) -> tuple[list[Piece], _Tag | None]:
    """Return the pieces of a parsed text, and a tag that waits for the next one."""
    pieces: list[Piece] = []
    tag: _Tag | None = None
    before = ""
    for child in tree.children:
        label = getattr(child, "type", None)
        if label == "TAG":
            word = re.sub(r"[- ]?sets?$", "", str(child).strip(" .:"))
            tag = (_KINDS[word], str(child).endswith(":"))
        elif label == "SEP":
            before = str(child)
        else:
            piece = _piece(child, shown)
            piece.before = before or (" " if pieces else "")
            if tag is not None and piece.kind is None:
                piece.kind, piece.stands = tag
            pieces.append(piece)
            before = ""
            tag = None
    return pieces, tag


def _piece(tree: Any, shown: str) -> Piece:
    chain, *after = tree.children
    factors = [c for c in chain.children if getattr(c, "type", None) != "TIMES"]
    piece = Piece([_quantity(f) for f in factors])
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


def _bracket(piece: Piece, inside: str, shown: str) -> None:
    if inside in _KINDS:
        piece.kind = _KINDS[inside]
    elif inside == "each side":
        piece.side = "each"
    elif re.fullmatch(r"@? ?(?:(?:rir|rpe) ?@?\d.*|\d.* ?(?:rir|rpe)|f|fail|failure|mv)", inside):
        piece.rir = read_effort(inside, "rpe")
    elif re.fullmatch(r"@ ?\d+(?:[.,]\d)?", inside):
        piece.rir = read_effort(inside.strip("@ "), "rpe")
    elif inside == "bw":
        piece.at.append(Quantity("body", (0.0,), None, inside))
    elif load := re.fullmatch(r"@? ?(\d+(?:\.\d+)?)(kg|lb)", inside):
        piece.at.append(Quantity("number", (float(load.group(1)),), load.group(2), inside))
    elif re.search(r"\d\s*x\s*\d", inside) or re.fullmatch(
        r"x? ?\d{1,2} ?(?:x|sets?|sätze|series?|séries?)?", inside
    ):
        raise SetsRefused(f"{shown!r} has sets in brackets; write them without.")
    else:
        piece.remark = inside or None


def _quantity(tree: Any) -> Quantity:
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
        return Quantity(kind, (load,), unit, head)
    if kind == "hold":
        return Quantity(kind, (), None, head)
    if kind == "signed":
        return Quantity(kind, (float(head),), unit, head)
    numbers = tuple(float(n) for n in re.findall(r"\d+(?:\.\d+)?", head))
    return Quantity(kind, numbers, unit, head)

"""The panel of a simulated aircraft: switches that a person moves in a browser.

It stores nothing: it shows what the aircraft reports, and a press is only a request.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from callout.core.state.board import NOTHING, Board

LONGEST_VALUE = 40


class PanelHub:
    """What the panel shows now; written by the state port's thread, read by the server's.

    shapes: the controls, as the page draws them. order: is given a control and its new position.
    """

    def __init__(
        self, title: str, shapes: list[Mapping[str, Any]], order: Callable[[str, str], None]
    ) -> None:
        self._title = title
        self._shapes = shapes
        self._order = order
        self._lock = threading.Lock()
        self._board = NOTHING
        self._number = 0
        self._by_name = {str(shape["name"]): shape for shape in shapes}
        self._on_change: Callable[[], None] = lambda: None

    def changed_by(self, on_change: Callable[[], None]) -> None:
        """Call ``on_change``, which must return at once, whenever something moves."""
        self._on_change = on_change

    def put(self, board: Board) -> None:
        """Show what the aircraft reports; safe from any thread, returns at once."""
        with self._lock:
            if board.values == self._board.values:
                return
            self._board, self._number = board, self._number + 1
        self._on_change()

    def latest(self) -> tuple[int, str]:
        """Return the number and the text of what is shown."""
        with self._lock:
            number, board = self._number, self._board
        values = {
            name: f"{v.normalize():f}" if isinstance(v, Decimal) else v
            for name, v in board.values.items()
        }
        told = {"kind": "board", "title": self._title, "shapes": self._shapes, "values": values}
        return number, json.dumps(told, ensure_ascii=False)

    def take(self, told: object) -> bool:
        """Handle a press; False if the page never sends such a one."""
        if not isinstance(told, dict) or set(told) != {"move", "to"}:
            return False
        name, to = told["move"], told["to"]
        shape = self._by_name.get(name) if isinstance(name, str) else None
        if shape is None or shape["gauge"] or not isinstance(to, str):
            return False
        if shape["positions"]:
            fits = to in shape["positions"]
        else:
            fits = len(to) <= LONGEST_VALUE and _is_number(to)
        if fits:
            self._order(name, to)
        return fits


def _is_number(text: str) -> bool:
    try:
        return Decimal(text).is_finite()
    except InvalidOperation:
        return False

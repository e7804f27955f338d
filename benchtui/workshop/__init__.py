"""The workshop: engines, blades and past sessions, for whoever may not touch the store itself."""

from __future__ import annotations

from benchtui.store.register import Row
from benchtui.workshop.engines import Engine
from benchtui.workshop.open_session import LiveSession
from benchtui.workshop.past_sessions import PastSession
from benchtui.workshop.reviews import Shown, due_after
from benchtui.workshop.workshop import Workshop

__all__ = ["Engine", "LiveSession", "PastSession", "Row", "Shown", "Workshop", "due_after"]

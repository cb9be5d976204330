"""The live panels and questions of the workbooks."""

from .ask import Ask, ask, predict
from .one_plane import one_plane
from .panel import Panel

__all__ = ["Ask", "Panel", "ask", "one_plane", "predict"]

"""The live panels and questions of the workbooks."""

from .ask import Ask, ask, drill, predict
from .one_plane import one_plane
from .panel import Panel
from .working import Working, working

__all__ = ["Ask", "Panel", "Working", "ask", "drill", "one_plane", "predict", "working"]

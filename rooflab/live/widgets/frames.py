"""What room the parts of a panel get: the page says how wide and high it is, and Python lays out for that.

On a wide page controls and readings stand in a column at the left, the picture at the right; on a narrow one the
picture stands over them.  What has no room in the column, or under the picture, scrolls there, so that a panel is never
higher than what is seen of the page and the picture keeps its share of it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from rooflab.draw.face import width
from rooflab.draw.layout import SCREEN
from rooflab.draw.placing import wrap

PAGE = ("_width", "_height")  # what the page tells of itself, px
WIDTH, HEIGHT = 1112, 680  # of a page that says nothing, px: a laptop's; still pictures are drawn for it
LEAST, MOST = 320, 2400  # of the widths and heights that are taken, px
BESIDE = 900  # the width from which the controls stand beside the picture, px
SHARE = 0.61  # of the panel's area for the picture
BARS = 114  # that JupyterLab takes of the window's height, px
LINE, BAR, TABS, EDGES, GAP = 20, 14, 32, 18, 12  # px: a line, a bar beside its lines, a row of views, borders, gap
BOLD = 1.13  # of the widths of bold letters by those of regular ones
SLACK = 1.05  # of widths of texts: another face may stand in
NARROWEST, WIDEST = 252, 380  # of the column of controls, px
REST = 150  # the least that stands under a picture, px
FLAT = 0.58  # height of a picture by its width, at the most, where the page is high
STAGE = (1280, 720)  # of a room's window that says nothing, px
HALF = 0.502  # of a room's window for the drawing, at the least
PROMPT, FOOT, AROUND = 60, 50, 28  # px of a room's slide: question, bar, edges and gaps
ANSWERS, NARROW = (70, 95), 1200  # height of the answers, px, and on a window narrower than that
EDGE = 12  # px: both edges of it
ASIDE = 440  # the most for what stands beside a room's drawing, px
CONTROL, READING, HEADING, WORDS = 66, 54, 27, 26  # px in a room: a control, a reading, a heading, a line of words
LONGEST = "17'-1 13/16\""  # of the values of most readings
ROOM_TEXT = 21.4  # of all texts in a room, px; 16 pt is 21.33 px
DETAIL, LEAST_DETAIL = 0.8, 240  # height of the detail by its width; the least width that it is drawn at, px


class Frames(NamedTuple):
    """The sizes of a panel's parts, px."""

    left: int  # width of the column of controls; 0: they stand under the picture
    picture: tuple[int, int]
    detail: tuple[int, int]  # 0, 0: none, for want of room
    stacked: bool  # the detail stands under the picture
    rest: int  # the greatest height of what stands under the picture; 0 where nothing does

    @property
    def sizes(self) -> dict[str, int]:
        """What the page has to know, px; "stacked" 1 where the detail stands under the picture."""
        tall = self.picture[1] + self.detail[1] * self.stacked
        return {"left": self.left, "tall": tall, "rest": self.rest, "stacked": int(self.stacked)}


def frames(raw: Mapping[str, str], views: Sequence[str] = (), detail: bool = False, lines: int = 1) -> Frames:
    """The sizes for what the page says of itself: with views of these names, a detail, a sentence of so many lines.

    >>> frames({"_width": "1112", "_height": "593"})
    Frames(left=300, picture=(782, 427), detail=(290, 232), stacked=False, rest=0)
    >>> frames({"_width": "656", "_height": "1180"}, ("Section", "Tail and soffit"), True, 2)
    Frames(left=0, picture=(638, 367), detail=(638, 223), stacked=True, rest=243)
    """
    wide, seen = _number(raw, "_width", WIDTH), _number(raw, "_height", HEIGHT) - BARS
    inner, bars = wide - EDGES, BAR + LINE * lines + EDGES
    if wide >= BESIDE:  # there the buttons of the views stand over the controls
        tall = max(seen - bars, 320)
        room = inner - GAP - wide * SHARE * (tall + bars) / tall  # what the picture's share leaves
        left = round(min(WIDEST, max(NARROWEST, min(0.27 * wide, room))))
        picture = inner - GAP - left
        enough = bars * SHARE * wide / (picture - SHARE * wide)
        return Frames(left, (picture, round(min(tall, max(FLAT * picture, enough)))), _detail(left - 10), False, 0)
    bars += _tabs(views, inner)
    part = inner / wide / SHARE  # height of the panel by that of the picture
    most = (0.9 if detail else 0.7) * wide
    tall = round(max(0.5 * wide, min(seen / part, most), (REST + bars) / (part - 1)))
    rest, spare = round(tall * part) - tall - bars, tall - round(0.56 * wide)
    if detail and spare >= 180:
        return Frames(0, (inner, tall - spare), (inner, spare), True, rest)
    return Frames(0, (inner, tall), _detail(min(inner, WIDEST)), False, rest)


def _tabs(views: Sequence[str], wide: float) -> int:
    """Height of the buttons of several views, px."""
    rows, x = 0, wide
    for view in views if len(views) > 1 else ():
        own = SLACK * width(view, SCREEN) + 26
        rows, x = (rows, x + own) if x + own <= wide else (rows + 1, own)
    return TABS * rows + 4 * (rows > 0)


def sentence_lines(sentence: str, raw: Mapping[str, str]) -> int:
    """How many lines a sentence takes in the bar over the picture, with a mark before it.

    >>> sentence_lines("The planes run through.", {"_width": "656"})
    1
    """
    return len(wrap(sentence, (_number(raw, "_width", WIDTH) - EDGES - 110) / BOLD / SLACK, SCREEN))


def room_frames(stage: tuple[int, int] = STAGE, above: int = 0) -> Frames:
    """The sizes of a slide's parts on a room's window of this width and height, px: the drawing has half of it.

    ``above`` is the height of what stands over it; 0: a question and its answers.

    >>> wide, tall = room_frames((1280, 720)).picture
    >>> wide * tall >= 1280 * 720 / 2
    True
    """
    wide, high = stage
    tall = high - FOOT - AROUND - (above or PROMPT + answers_height(stage))
    picture = max(math.ceil(HALF * wide * high / tall), wide - EDGE - 8 - ASIDE)
    return Frames(wide - EDGE - 8 - picture, (picture, tall), (0, 0), False, 0)


def answers_height(stage: tuple[int, int]) -> int:
    """The height of the answers to choose from on a room's window, px."""
    return ANSWERS[stage[0] < NARROW]


def readings_with_room(
    frames: Frames, controls: int, words: Sequence[str], labels: Sequence[str], groups: Sequence[str]
) -> int:
    """How many readings of these labels, each of a group, a room shows with so many controls and the longest words."""
    beside = frames.left - BOLD * SLACK * width(LONGEST, ROOM_TEXT) - 8  # a longer label takes a second line
    talls = [READING + READING / 2 * (SLACK * width(label, ROOM_TEXT) > beside) for label in labels]
    lines = max((len(wrap(one, (frames.left - 12) / SLACK, ROOM_TEXT)) for one in words), default=0)
    room = frames.picture[1] - CONTROL * controls - WORDS * lines - GAP
    count = len(groups)
    while count and sum(talls[:count]) + HEADING * len({*groups[:count]}) > room:
        count -= 1
    return count


def _number(raw: Mapping[str, str], name: str, otherwise: int) -> int:
    """A width or height that the page told; what is no number is not taken."""
    text = raw.get(name, "")
    return min(MOST, max(LEAST, int(text))) if text.isascii() and text.isdecimal() else otherwise


def _detail(wide: int) -> tuple[int, int]:
    return (wide, round(DETAIL * wide)) if wide >= LEAST_DETAIL else (0, 0)


def height_of(words: str, wide: float) -> int:
    """The height of words under a picture, px."""
    return LINE * len(wrap(words, wide - 16, SCREEN)) + 8

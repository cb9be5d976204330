"""A room view in a browser: turning its slides, and whether what stands on one is large, whole and needs no scrolling.

Room size, common practice and no source: text of 16 pt (21.33 px) and more at 1280 x 720, half of it for the drawing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rooflab.live.widgets.frames import room_frames

if TYPE_CHECKING:
    from playwright.sync_api import Page

LARGE = 16 * 96 / 72  # px
STAGES = (1280, 720), (1024, 768)  # px
VIEW = "dialog .rl-talk"
SIZES = """() => { const found = [];
  for (const node of document.querySelectorAll('dialog *')) {
    const own = [...node.childNodes].some(one => one.nodeType === 3 && one.textContent.trim());
    const box = node.getBoundingClientRect(), svg = node.closest('svg');
    if (!(own || node.matches('input[type=text]')) || box.width < 2 || box.height < 2) continue;
    const scale = svg ? svg.getBoundingClientRect().height / svg.viewBox.baseVal.height : 1;
    found.push([node.value || node.textContent.slice(0, 40), parseFloat(getComputedStyle(node).fontSize) * scale]);
  }
  return found; }"""
CUT = """() => { const found = [];
  for (const node of document.querySelectorAll('dialog *')) {
    const hidden = node.matches('.rl-sentence, .rl-row, .rl-talk-mark') || !node.getClientRects().length;
    if (node.closest('svg') || hidden || getComputedStyle(node).display === 'inline') continue;
    const wide = node.scrollWidth - node.clientWidth, tall = node.scrollHeight - node.clientHeight;
    if (wide > 1 || tall > 1) found.push([node.className || node.tagName, wide, tall, node.textContent.slice(0, 50)]);
  }
  const frame = document.querySelector('dialog .rl-picture svg'), box = frame && frame.getBoundingClientRect();
  for (const text of frame ? frame.querySelectorAll('text') : []) {
    const own = text.getBoundingClientRect();
    const sides = own.left < box.left - 1 || own.right > box.right + 1;
    if (sides || own.top < box.top - 1 || own.bottom > box.bottom + 1) found.push(['text', text.textContent]);
  }
  const page = document.documentElement;
  if (page.scrollWidth > innerWidth || page.scrollHeight > innerHeight) found.push(['page', page.scrollHeight]);
  return found; }"""


DRAWN = """() => { const one = [...document.querySelectorAll('dialog .rl-picture svg, dialog .rl-talk-still svg')]
    .map(svg => svg.getBoundingClientRect()).filter(box => box.width)[0];
  const inside = one.left >= 0 && one.top >= 0 && one.right <= innerWidth + 1 && one.bottom <= innerHeight + 1;
  return inside ? one.width * one.height / innerWidth / innerHeight : 0; }"""


def at(page: Page) -> int:
    return int(page.get_attribute(VIEW, "data-at") or 0)


def turn(page: Page, key: str, to: int) -> None:
    page.keyboard.press(key)
    page.wait_for_selector(f'{VIEW}[data-at="{to}"]', timeout=15_000)
    kind = page.get_attribute(VIEW, "data-kind")
    if kind == "stop":
        page.wait_for_selector(f"{VIEW} .rl-panel .rl-picture svg", timeout=15_000)


def reveal(page: Page) -> None:
    page.keyboard.press("r")
    page.wait_for_selector(f"{VIEW} .rl-talk-right", timeout=15_000)
    page.wait_for_selector(f'{VIEW} .rl-panel[data-waiting="no"]', timeout=15_000)


def wrong_on(page: Page) -> list[object]:
    """What on the screen is small, cut or makes it scroll; a drawing with less than half of it; code that is seen."""
    page.wait_for_timeout(60)
    page.wait_for_function("() => !document.getAnimations().length")  # a picture that takes another scale moves there
    sizes, drawn = page.evaluate(SIZES), page.evaluate(DRAWN)
    assert len(sizes) > 2
    middle = page.evaluate(
        "() => [[20, 20], [640, 360], [1000, 700]].every(([x, y]) => document.elementFromPoint(x, y).closest('dialog'))"
    )
    small = [one for one in sizes if one[1] < LARGE]
    return [*small, *page.evaluate(CUT), *([] if drawn >= 0.5 else [drawn]), *([] if middle else ["not in front"])]


def looked_at(page: Page) -> None:
    """What stands on the screen is large, whole and needs no scrolling, and no code is to be seen."""
    assert wrong_on(page) == []


def stand_on(page: Page, size: tuple[int, int]) -> None:
    """A window of that size, and a slide that is laid out for it."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.wait_for_selector(f'{VIEW}[data-stage="{size[0]}x{size[1]}"]', timeout=15_000)
    if page.get_attribute(VIEW, "data-kind") == "stop":
        wide = room_frames(size).picture[0]
        page.wait_for_selector(f'{VIEW} .rl-picture svg[width="{wide}"]', timeout=15_000)
        page.wait_for_selector(f'{VIEW} .rl-panel[data-waiting="no"]', timeout=15_000)


def wrong_at_every_size(page: Page) -> list[object]:
    """The same of this slide on each window."""
    found: list[object] = []
    for size in STAGES:
        stand_on(page, size)
        at_size = wrong_on(page)
        found += [(page.get_attribute(VIEW, "data-at"), size, *at_size)] if at_size else []
    return found

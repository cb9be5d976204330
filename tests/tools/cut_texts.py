"""Texts of a page that are cut off or lie on one another, as the browser measures them, in any of our widgets."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Page

CUT = """() => {
  const found = new Set(), shown = document.querySelector('dialog[open]');
  const page = (shown || document.querySelector('.jp-WindowedPanel-outer')).getBoundingClientRect();
  const ours = '[class*="rl-"]';
  const widgets = [...(shown || document).querySelectorAll(ours)].filter(node => !node.parentElement.closest(ours));
  const told = (what, node, text) => {
    const near = node.closest(ours).className.baseVal ?? node.closest(ours).className;
    found.add(`${what} (${near} ${node.tagName}): ${text.trim().replace(/\\s+/g, ' ').slice(0, 70)}`);
  };
  const styles = new Map();
  const style = node => styles.get(node) || styles.set(node, getComputedStyle(node)).get(node);
  const inline = node => style(node).display === 'inline';
  const unseen = node => {  // not laid out, or for a reader of the screen only
    const box = node.getBoundingClientRect();
    return !node.getClientRects().length || (!inline(node) && (box.width <= 2 || box.height <= 2));
  };
  const clips = node => {  // whether it hides what lies beside it, and below it, where nobody can scroll
    const { overflowX, overflowY, contain } = style(node), all = /paint|content|strict/.test(contain);
    return [overflowX, overflowY].map(one => (all ? !/auto|scroll/.test(one) : /hidden|clip/.test(one)));
  };
  const turned = node => /rotate/.test([node, node.parentElement].map(one => one.getAttribute('transform')).join());

  const look = (at, text, box) => {  // the box of a line of text, less what a scroll bar hides
    const svg = at.closest('svg'), trim = Math.min(4, box.height / 5);  // room above and below the letters
    let { left, right, top, bottom } = box;
    let own = true;  // the nearest block holds its text
    let list = false;  // a list and the column of controls scroll, a picture in its frame never
    for (let over = svg || at; !over.matches('.jp-Cell, body'); over = over.parentElement) {
      if (inline(over)) continue;
      const edge = over.getBoundingClientRect(), [wide, tall] = own ? [true, true] : clips(over);
      own = false;
      if (wide && !list && (box.left < edge.left - 1.5 || box.right > edge.right + 1.5))
        told(`outside of ${over.className.baseVal ?? over.className}, sideways`, at, text);
      if (tall && !list && (box.top + trim < edge.top - 1 || box.bottom - trim > edge.bottom + 1))
        told(`outside of ${over.className.baseVal ?? over.className}, up or down`, at, text);
      list ||= over.matches('.rl-page .rl-left') || (!svg && over.matches('.rl-frame, .rl-meeting .rl-picture'));
      if (/auto|scroll/.test(style(over).overflowY))
        [top, bottom] = [Math.max(top, edge.top), Math.min(bottom, edge.bottom)];
    }
    if (!list && (box.right > page.right + 1 || box.left < page.left - 1)) told('outside of the page', at, text);
    return { at, text, svg, left, right, top, bottom, trim: box.height * 0.22 };  // letters take a line's middle
  };

  for (const widget of widgets) {
    const lines = [], walk = document.createTreeWalker(widget, NodeFilter.SHOW_TEXT);
    for (let text = walk.nextNode(); text; text = walk.nextNode()) {
      const at = text.parentElement;
      if (!text.data.trim() || at.closest('title, desc, option, [hidden], .rl-stale')) continue;
      if (at.closest('details:not([open]) > :not(summary)')) continue;
      let away = false;
      for (let one = at; one !== widget.parentElement && !away; one = one.parentElement) away = unseen(one);
      if (away) continue;
      const range = document.createRange();
      range.selectNodeContents(text);
      for (const box of range.getClientRects()) if (box.width >= 1) lines.push(look(at, text.data, box));
    }
    for (const node of widget.querySelectorAll('input[type=text]')) {  // a longer title scrolls in its field
      const exempt = node.value.length > 40 || node.matches('.rl-bad') || unseen(node);
      if (!exempt && node.scrollWidth > node.clientWidth + 1) told('wider than its box', node, node.value);
    }
    const seen = lines.filter(one => one.top < one.bottom).sort((one, other) => one.top - other.top);
    seen.forEach((one, i) => {
      for (let j = i + 1; j < seen.length && seen[j].top < one.bottom; j++) {
        const other = seen[j];
        if (other.at === one.at || (one.svg && other.svg && (turned(one.at) || turned(other.at)))) continue;
        const beside = one.right - 1.5 <= other.left || other.right - 1.5 <= one.left;
        const above = (a, b) => a.bottom - a.trim <= b.top + b.trim, below = above(one, other) || above(other, one);
        if (!beside && !below) told(`lies on "${other.text.trim().slice(0, 30)}"`, one.at, one.text);
      }
    });
  }
  return [...found];
}"""


def cut_texts(page: Page) -> list[str]:
    """Texts of our widgets that are cut off, lie outside the page or on one another, with what is wrong."""
    return page.evaluate(CUT)


SIZES = """() => {
  const found = new Set();
  const told = (what, node, size) => found.add(`${what} (${node.closest('[class*="rl-"]').getAttribute('class')}): ` +
      `${(node.textContent || '').trim().slice(0, 40)} ${size.toFixed(2)}`);
  for (const widget of document.querySelectorAll('.jp-Notebook :is(.rl-page, .rl-ask, .rl-words, .rl-working)')) {
    const walk = document.createTreeWalker(widget, NodeFilter.SHOW_TEXT);
    const over = widget.getBoundingClientRect().right - widget.parentElement.getBoundingClientRect().right;
    if (over > 1) told('wider than its page', widget, over);
    for (let text = walk.nextNode(); text; text = walk.nextNode()) {
      const at = text.parentElement, svg = at.closest('svg');
      if (!text.data.trim() || at.closest('title, desc, option') || !at.checkVisibility()) continue;
      if (at.closest('.rl-sheet')) continue; // paper, shown whole
      const scale = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
      const size = parseFloat(getComputedStyle(at).fontSize) * scale;
      const chain = svg && (at.hasAttribute('font-size') || svg.getAttribute('font-size') === '12');
      if (size < (chain ? 11.9 : 13.9)) told('small letters', at, size);
    }
  }
  for (const panel of document.querySelectorAll('.rl-page:not(.rl-is-stale)')) {
    const [all, picture] = [panel, panel.querySelector('.rl-frame')].map(node => node.getBoundingClientRect());
    const share = picture.width * picture.height / all.width / all.height;
    if (share < 0.6 && panel.querySelector('.rl-sentence').clientHeight < 60) told('a small picture', panel, share);
  }
  return [...found];
}"""


def small_things(page: Page) -> list[str]:
    """Letters under 14 px (12 in chains without room), panels wider than their page, pictures under three fifths.

    A sheet of paper is shown whole, as large as the page is wide.  A tenth of a pixel is let pass; a panel whose
    sentence takes three lines is not asked for its picture's share.
    """
    return page.evaluate(SIZES)

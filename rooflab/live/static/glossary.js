// The words of the series: those of one group beside the section, and a list of all.  What is pointed at, searched or
// chosen goes to Python; its meaning and the picture, in which it is lit, come back.

const DWELL = 90; // ms that a pointer stays on a word before it is meant

function render({ model, el }) {
  const { groups } = model.get("setup");
  const ids = [newId(), newId()];
  const find = html("input", { id: ids[0], type: "search", autocomplete: "off", spellcheck: "false" });
  const list = html("select", { id: ids[1], size: "8" });
  const meaning = html("div", { class: "rl-told", role: "status", "aria-live": "polite" });
  const picture = html("div", { class: "rl-picture" });
  const words = html("div", { class: "rl-targets", role: "group", "aria-label": "Words beside the section" });
  const keys = html("div", { class: "rl-keys" }, "Arrow keys move through the list; a letter jumps to a word.");
  const send = (what, value) => press(model, { do: what, value }, root, meaning);
  const choose = (word) => word !== model.get("chosen") && send("word", word);
  const tabs = groups.map(([name]) => button(name, () => send("group", name), { class: "rl-button rl-group" }));
  const sheet = html("div", { class: "rl-sheet" }, picture, words);
  const root = html("div", { class: "rl-words", role: "group", "aria-label": "Words, on one section" },
    html("div", { class: "rl-right" },
      html("div", { class: "rl-groups", role: "group", "aria-label": "Groups of words" }, ...tabs), meaning, sheet),
    html("div", { class: "rl-list" }, html("label", { for: ids[0] }, "Search a word"), find,
      html("label", { for: ids[1] }, "Words"), list, keys));
  el.append(root);

  list.addEventListener("change", () => choose(list.value));
  find.addEventListener("input", () => send("search", find.value));

  let waiting = 0;
  const point = (node, word) => {
    node.addEventListener("pointerenter", () => {
      clearTimeout(waiting);
      waiting = setTimeout(() => choose(word), DWELL);
    });
    node.addEventListener("pointerleave", () => clearTimeout(waiting));
    node.addEventListener("click", () => choose(word));
    return node;
  };
  const showTargets = () => {
    const at = model.get("targets").map(([word, [left, top, right, bottom, x, y]]) => {
      const name = point(html("button", { type: "button", class: "rl-target", "aria-label": word }), word);
      name.style.cssText = `left: ${left}%; top: ${top}%; width: ${right - left}%; height: ${bottom - top}%`;
      name.addEventListener("focus", () => choose(word));
      const spot = point(html("span", { class: "rl-spot", "aria-hidden": "true" }), word);
      spot.style.cssText = `left: ${x}%; top: ${y}%`;
      return [spot, name];
    });
    words.replaceChildren(...at.map(([spot]) => spot), ...at.map(([, name]) => name));
  };
  const showList = () => {
    const found = model.get("found");
    const wanted = find.value.trim();
    const rows = groups.map(([group, names]) => [group, names.filter((name) => !wanted || found.includes(name))]);
    list.replaceChildren(...rows.filter(([, names]) => names.length).map(([group, names]) =>
      html("optgroup", { label: group }, ...names.map((name) => html("option", { value: name }, name)))));
    list.value = model.get("chosen");
  };
  const show = () => {
    const chosen = model.get("chosen");
    meaning.innerHTML = model.get("answer") || model.get("meaning");
    picture.innerHTML = model.get("picture");
    list.value = chosen;
    tabs.forEach((tab, i) => tab.setAttribute("aria-pressed", String(groups[i][0] === model.get("group"))));
    for (const node of words.querySelectorAll("button")) {
      node.setAttribute("aria-pressed", String(node.getAttribute("aria-label") === chosen));
    }
  };
  const all = () => { showTargets(); showList(); show(); };
  const parts = [["change:targets", showTargets], ["change:found", showList],
    ["change:meaning change:picture change:answer change:targets", show]];
  for (const [what, how] of parts) model.on(what, how);
  all();

  let wide = 0;
  const watch = new ResizeObserver(([{ contentRect }]) => {
    const now = Math.floor(contentRect.width);
    if (now < 50 || Math.abs(now - wide) < 8) return;
    wide = now;
    send("width", now);
  });
  watch.observe(sheet);
  return () => {
    watch.disconnect();
    for (const [what, how] of parts) model.off(what, how);
  };
}

export default widget(render);

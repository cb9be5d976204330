// The words of the series: a list beside one section.  The chosen word goes to Python; its meaning and the picture come back.

const NEAR = 14; // px from a number's middle within which a click is meant for it

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  const list = html("select", { id, size: "20" });
  for (const [group, words] of setup.groups) {
    const options = words.map(([word, number]) => html("option", { value: word }, number ? `${word} (${number})` : word));
    list.append(html("optgroup", { label: group }, ...options));
  }
  const meaning = html("div", { class: "rl-told", role: "status", "aria-live": "polite" });
  const picture = html("div", { class: "rl-picture" });
  const keys = html("div", { class: "rl-keys" }, "Arrow keys move through the list; a letter jumps to a word. Or click a number.");
  const left = html("div", { class: "rl-list" }, html("label", { for: id }, "Words"), list, keys);
  el.append(html("div", { class: "rl-words", role: "group", "aria-label": "Words, on one section" },
    left, html("div", { class: "rl-right" }, meaning, picture)));
  const choose = (word) => {
    model.set("chosen", word);
    model.save_changes();
  };
  list.addEventListener("change", () => choose(list.value));
  picture.addEventListener("click", (event) => {
    const far = [...picture.querySelectorAll("text")].map((text) => {
      const { x, y, width, height } = text.getBoundingClientRect();
      return [Math.hypot(x + width / 2 - event.clientX, y + height / 2 - event.clientY), text.dataset.name];
    });
    const [near, word] = far.reduce((one, other) => (other[0] < one[0] ? other : one), [NEAR, ""]);
    if (near < NEAR && setup.groups.some(([, words]) => words.some(([name]) => name === word))) choose(word);
  });
  const show = () => {
    meaning.innerHTML = model.get("meaning");
    picture.innerHTML = model.get("picture");
    list.value = model.get("chosen");
  };
  model.on("change:meaning change:picture", show);
  show();
  return () => model.off("change:meaning change:picture", show);
}

export default widget(render);

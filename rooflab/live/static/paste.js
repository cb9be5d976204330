// A box for a pasted table, with its type and buttons: its text goes to Python, a sentence comes back.  Python does the work.

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  const box = html("textarea", { id, rows: "4", class: "rl-paste", spellcheck: "false" });
  const line = html("div", { class: "rl-line" });
  const types = html("select", { id: `${id}-type` }, ...setup.types.map((mark) => html("option", { value: mark }, mark)));
  if (setup.types.length) line.append(html("label", { for: `${id}-type` }, "It is the drawing of type"), types);
  for (const [what, label] of setup.buttons) {
    line.append(button(label, () => press(model, { do: what, text: box.value, type: types.value }, root, answer), { "data-do": what }));
  }
  const answer = html("div", { class: "rl-answer", role: "status", "aria-live": "polite" });
  const root = html("div", { class: "rl-ask" }, html("label", { for: id }, html("b", {}, setup.prompt)), box, line, answer);
  el.append(root);
  const show = () => {
    answer.innerHTML = model.get("answer");
    box.value = model.get("text");
    types.value = model.get("kind");
  };
  model.on("change:answer change:text change:kind change:turn", show);
  show();
  return () => model.off("change:answer change:text change:kind change:turn", show);
}

export default widget(render);

// A question: choices or a typed answer in, a sentence back.  Python judges; this file only shows.

const html = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
};

function render({ model, el }) {
  const setup = model.get("setup");
  const id = `rl-${Math.random().toString(36).slice(2)}`;
  const send = (value) => {
    model.set("given", { value, turn: (model.get("given").turn || 0) + 1 });
    model.save_changes();
  };
  const root = html("div", { class: "rl-ask", "data-lm-suppress-shortcuts": "true" });
  const field = html("fieldset", {}, html("legend", {}, setup.prompt));
  if (setup.choices.length) {
    setup.choices.forEach((choice, i) => {
      const radio = html("input", { type: "radio", name: id, id: `${id}-${i}` });
      radio.addEventListener("change", () => send(choice));
      field.append(html("label", { for: `${id}-${i}` }, radio, ` ${choice}`));
    });
  } else {
    const box = html("input", { type: "text", class: "rl-box", "aria-label": `Answer: ${setup.prompt}`, spellcheck: "false", autocomplete: "off" });
    const check = html("button", { type: "button", class: "rl-button" }, "Check");
    const show = html("button", { type: "button", class: "rl-button" }, "Show the working");
    check.addEventListener("click", () => send(box.value));
    box.addEventListener("keydown", (event) => { if (event.key === "Enter") send(box.value); });
    show.addEventListener("click", () => send("?"));
    field.append(html("div", { class: "rl-line" }, box, setup.unit, check, show));
  }
  const answer = html("div", { class: "rl-answer", role: "status", "aria-live": "polite" });
  root.append(field, answer);
  el.append(root);
  const show = () => { answer.innerHTML = model.get("answer"); };
  model.on("change:answer", show);
  show();
  return () => model.off("change:answer", show);
}

export default { render };

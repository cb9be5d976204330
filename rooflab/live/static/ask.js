// A question: choices or a typed answer in, a sentence back.  Python judges; this file only shows.

const ONE_LINE = 100; // choices with no more letters than this stand side by side
const STEPS = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 };

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  const send = (what, value) => press(model, { value, do: what, of: model.get("setup").prompt }, root, answer);
  const root = html("div", { class: "rl-ask" });
  const prompt = html("legend", {});
  const drawn = html("div", { class: "rl-case" });
  const field = html("fieldset", {}, prompt, drawn);
  const radios = [];
  const box = html("input", { type: "text", class: "rl-box", spellcheck: "false", autocomplete: "off" });
  if (setup.choices.length) {
    const beside = setup.choices.join("").length + 6 * setup.choices.length <= ONE_LINE;
    const choices = html("div", { class: beside ? "rl-choices rl-beside" : "rl-choices" });
    setup.choices.forEach((choice, i) => {
      const radio = html("input", { type: "radio", name: id, id: `${id}-${i}`, value: choice });
      radio.addEventListener("change", () => send("check", choice));
      radio.addEventListener("keydown", (event) => { // arrow keys only move: what is chosen counts at once, and may be final
        const step = STEPS[event.key];
        if (event.key === "Enter") radio.click();
        if (!step) return;
        event.preventDefault();
        radios[(i + step + radios.length) % radios.length].focus();
      });
      radios.push(radio);
      choices.append(html("label", { for: `${id}-${i}` }, radio, ` ${choice}`));
    });
    field.append(choices);
  } else {
    box.addEventListener("keydown", (event) => { if (event.key === "Enter") send("check", box.value); });
    const line = html("div", { class: "rl-line" }, box, button("Check", () => send("check", box.value)));
    line.append(button("Show the working", () => send("show", "")));
    if (setup.more) line.append(button("Another roof", () => send("next", "")));
    line.append(html("span", { class: "rl-unit" }, setup.unit));
    field.append(line);
  }
  const answer = html("div", { class: "rl-answer", role: "status", "aria-live": "polite" });
  root.append(field, answer);
  el.append(root);

  const show = () => {
    answer.innerHTML = model.get("answer");
    const chosen = model.get("message").value;
    radios.forEach((radio) => { radio.checked = radio.value === chosen; radio.disabled = model.get("done"); });
  };
  const put = () => {
    const text = model.get("setup").prompt;
    prompt.textContent = text;
    drawn.innerHTML = model.get("setup").picture;
    box.setAttribute("aria-label", `Answer: ${text}`);
    const { do: what, value } = model.get("message"); // of another day, perhaps
    box.value = what === "check" ? value : "";
  };
  model.on("change:answer change:done", show);
  model.on("change:setup", put);
  put();
  show();
  return () => { model.off("change:answer change:done", show); model.off("change:setup", put); };
}

export default widget(render);

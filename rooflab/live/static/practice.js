// Practice: which reading, which level, which seed; then the question.  Python judges; this file only shows.

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  const send = (what, value = "", at = 0) => press(model, { do: what, value, at, of: model.get("page").of }, root, answer);
  const labelled = (text, node, name) => {
    node.id = `${id}-${name}`;
    return html("span", { class: "rl-pick" }, html("label", { for: node.id, class: "rl-inline" }, `${text} `), node);
  };
  const entry = (name, act) => {
    const box = html("input", { type: "text", class: "rl-box", spellcheck: "false", autocomplete: "off", "aria-label": name });
    box.addEventListener("keydown", (event) => { if (event.key === "Enter") act(box.value); });
    return box;
  };

  // --- what is practiced
  const kind = html("select", { class: "rl-select" });
  const groups = new Map();
  for (const [value, label, group] of setup.kinds) {
    if (group && !groups.has(group)) {
      groups.set(group, html("optgroup", { label: group }));
      kind.append(groups.get(group));
    }
    (groups.get(group) || kind).append(html("option", { value }, label));
  }
  kind.addEventListener("change", () => send("kind", kind.value));
  const rung = html("select", { class: "rl-select" }, ...setup.rungs.map(([value, label]) => html("option", { value }, label)));
  rung.addEventListener("change", () => send("rung", rung.value));
  const seed = html("input", { type: "text", class: "rl-box", spellcheck: "false", autocomplete: "off" });
  seed.addEventListener("change", () => send("seed", seed.value));
  const top = html("div", { class: "rl-line" }, labelled("Practice", kind, "kind"), labelled("Level", rung, "rung"),
    labelled("Seed (a word or number)", seed, "seed"));

  // --- the question
  const prompt = html("legend", {});
  const body = html("div", {});
  const drawn = html("div", { class: "rl-case" });
  const field = html("fieldset", {}, prompt, drawn, body);
  const answer = html("div", { class: "rl-answer", role: "status", "aria-live": "polite" });
  const hint = button("Hint", () => send("hint", String(model.get("page").hints)));
  const show = button("Show the working", () => send("show"));
  const foot = html("div", { class: "rl-line" }, hint, show, button("Next question", () => send("next")));
  const root = html("div", { class: "rl-ask", role: "group", "aria-label": "Practice" }, top, field, answer, foot,
    html("div", { class: "rl-unit" }, setup.caution));
  el.append(root);

  let marks = [];
  let shown = "";
  const fill = () => {
    const page = model.get("page");
    kind.value = page.kind;
    rung.value = page.rung;
    seed.value = page.seed;
    hint.disabled = page.hints === 0;
    hint.textContent = page.hints ? `Hint (${page.hints} left)` : "No more hints";
    show.disabled = !page.show;
    const now = JSON.stringify([page.prompt, page.rung, page.number]);
    if (now === shown) return;
    shown = now;
    prompt.textContent = `${page.number}. ${page.prompt}`;
    drawn.innerHTML = page.picture;
    body.replaceChildren();
    marks = [];
    if (page.lines.length) body.append(html("ul", { class: "rl-steps" }, ...page.lines.map((line) => html("li", {}, line))));
    page.blanks.forEach((label, at) => {
      const box = entry(`Blank ${at + 1}: ${label}`, (value) => send("check", value, at));
      const mark = html("span", { role: "status", "aria-live": "polite", class: "rl-mark" });
      const check = button("Check", () => send("check", box.value, at));
      check.setAttribute("aria-label", `Check blank ${at + 1}`);
      marks.push(mark);
      body.append(html("div", { class: "rl-line" }, html("span", {}, `${label} = `), box, check, mark));
    });
    if (page.asks && page.choices.length) {
      const radios = page.choices.map((choice, i) => html("input", { type: "radio", name: `${id}-choice`, id: `${id}-${i}`, value: choice }));
      const chosen = () => (radios.find((radio) => radio.checked) || { value: "" }).value;
      radios.forEach((radio, i) => {
        radio.addEventListener("keydown", (event) => { if (event.key === "Enter") send("check", chosen()); });
        body.append(html("label", { for: radio.id }, radio, ` ${page.choices[i]}`));
      });
      body.append(html("div", { class: "rl-line" }, button("Check", () => send("check", chosen()))));
    } else if (page.asks) {
      const box = entry(`Answer: ${page.prompt}`, (value) => send("check", value));
      body.append(html("div", { class: "rl-line" }, box, button("Check", () => send("check", box.value)),
        html("span", { class: "rl-unit" }, page.unit)));
    }
  };
  const tell = () => {
    answer.innerHTML = model.get("answer");
    model.get("marks").forEach((mark, at) => { if (marks[at] && marks[at].innerHTML !== mark) marks[at].innerHTML = mark; });
  };
  const all = () => { fill(); tell(); };
  model.on("change:page change:answer change:marks", all);
  all();
  return () => model.off("change:page change:answer change:marks", all);
}

export default widget(render);

// A small form: boxes and buttons in, a sentence back.  Python does the work; this file only shows.

// Where the server shows the files beside the open workbook.
const beside = (file) => {
  let base = "/";
  try {
    base = JSON.parse(document.getElementById("jupyter-config-data").textContent).baseUrl || "/";
  } catch { /* another page than JupyterLab's: its root */ }
  const open = location.pathname.match(/\/tree\/(.*)$/);
  const folder = open && open[1].includes("/") ? open[1].replace(/[^/]*$/, "") : "";
  return `${base}files/${folder}${file.split("/").map(encodeURIComponent).join("/")}`;
};

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  const boxes = {};
  const legend = html("legend", {}, setup.prompt);
  const field = html("fieldset", {}, legend);
  const under = (place) => {
    const grid = html("div", { class: "rl-form" });
    grid.style.cssText = "display: grid; grid-template-columns: repeat(auto-fill, minmax(400px, 1fr)); gap: 3px 16px; margin: 4px 0";
    place.append(grid);
    return grid;
  };
  let grid = setup.fields.length && setup.fields[0].name ? under(field) : null;
  setup.fields.forEach((row, i) => {
    if (!row.name) { // a heading over the fields that follow
      const part = html("fieldset", {}, html("legend", {}, row.label));
      field.append(part);
      grid = under(part);
      return;
    }
    const tick = typeof row.value === "boolean";
    const box = html("input", { type: tick ? "checkbox" : "text", id: `${id}-${i}` });
    const label = html("label", { for: `${id}-${i}` }, row.label);
    const line = html("div", {}, ...(tick ? [box, label] : [label, box]));
    if (tick) {
      box.checked = row.value;
      box.style.cssText = "flex: none; margin: 3px 0 0; accent-color: #0072B2";
      line.style.cssText = "display: flex; align-items: flex-start; gap: 6px; line-height: 1.25";
    } else {
      for (const [name, value] of Object.entries({ class: "rl-box", spellcheck: "false", autocomplete: "off" })) box.setAttribute(name, value);
      box.value = row.value;
      box.style.cssText = "flex: none; width: 170px";
      line.style.cssText = "display: flex; justify-content: space-between; align-items: center; gap: 8px";
    }
    boxes[row.name] = box;
    grid.append(line);
  });
  const line = html("div", { class: "rl-line" });
  for (const [what, label] of setup.buttons) {
    const node = button(label, () => {
      const values = Object.fromEntries(Object.entries(boxes).map(([name, box]) => [name, box.type === "checkbox" ? (box.checked ? "yes" : "") : box.value]));
      press(model, { do: what, values, after: model.get("answered") });
    }, { "data-do": what });
    const [only, ...others] = Object.values(boxes);
    if (only && !others.length && setup.buttons.length === 1) { // one box, one button: Enter presses it
      only.addEventListener("keydown", (event) => { if (event.key === "Enter") node.click(); });
    }
    line.append(node);
  }
  field.append(line);
  const answer = html("div", { class: "rl-answer", role: "status", "aria-live": "polite" });
  el.append(html("div", { class: "rl-ask rl-desk" }, field, answer));
  const show = () => {
    answer.innerHTML = model.get("answer");
    for (const link of answer.querySelectorAll("a[data-file]")) link.href = beside(link.dataset.file);
  };
  const refill = () => { // after writing: the boxes of the job in the file
    const now = Object.fromEntries(model.get("setup").fields.map((row) => [row.name, row.value]));
    legend.textContent = model.get("setup").prompt;
    for (const [name, box] of Object.entries(boxes)) {
      if (typeof now[name] === "string") box.value = now[name];
      if (name in now) continue;
      box.parentNode.remove();
      delete boxes[name];
    }
  };
  model.on("change:answer", show);
  model.on("change:setup", refill);
  show();
  return () => {
    model.off("change:answer", show);
    model.off("change:setup", refill);
  };
}

export default widget(render);

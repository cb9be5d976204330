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
  const id = newId();
  const field = html("fieldset");
  const line = html("div", { class: "rl-line" });
  let boxes = {};
  const under = (place) => {
    const grid = html("div", { class: "rl-form" });
    place.append(grid);
    return grid;
  };
  const drawBoxes = (setup) => {
    boxes = {};
    field.replaceChildren(html("legend", {}, setup.prompt));
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
      const pair = html("div", tick ? { class: "rl-tick" } : {}, ...(tick ? [box, label] : [label, box]));
      if (tick) box.checked = row.value;
      else {
        for (const [name, value] of Object.entries({ class: "rl-box", spellcheck: "false", autocomplete: "off" })) box.setAttribute(name, value);
        box.value = row.value;
      }
      boxes[row.name] = box;
      grid.append(pair);
    });
    field.append(line);
  };
  const drawButtons = (setup) => {
    line.replaceChildren(...setup.buttons.map(([what, label]) => button(label, () => {
      const values = Object.fromEntries(Object.entries(boxes).map(([name, box]) => [name, box.type === "checkbox" ? (box.checked ? "yes" : "") : box.value]));
      press(model, { do: what, values, after: model.get("answered") }, root, answer);
    }, { "data-do": what })));
    const [only, ...others] = Object.values(boxes);
    if (only && !others.length && setup.buttons.length === 1) { // one box, one button: Enter presses it
      only.onkeydown = (event) => { if (event.key === "Enter") line.firstChild.click(); };
    }
  };
  let drawn = ["", ""]; // boxes, buttons: those that stay keep the focus
  const draw = () => { // what was typed stays, but where the boxes are others: those of the job in the file after writing
    const setup = model.get("setup");
    const now = [JSON.stringify([setup.prompt, setup.fields]), JSON.stringify(setup.buttons)];
    if (now[0] !== drawn[0]) drawBoxes(setup);
    if (now[1] !== drawn[1]) drawButtons(setup);
    drawn = now;
  };
  draw();
  const answer = html("div", { class: "rl-answer", role: "status", "aria-live": "polite" });
  const root = html("div", { class: "rl-ask rl-desk" }, field, answer);
  el.append(root);
  const show = () => {
    answer.innerHTML = model.get("answer");
    for (const link of answer.querySelectorAll("a[data-file]")) link.href = beside(link.dataset.file);
  };
  model.on("change:answer", show);
  model.on("change:setup", draw);
  show();
  return () => {
    model.off("change:answer", show);
    model.off("change:setup", draw);
  };
}

export default widget(render);

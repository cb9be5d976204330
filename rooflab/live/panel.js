// The live panel: labelled sliders and text boxes in, one message out; pictures, readings and sentences back.
// All computing is done in Python; this file only shows what `shown` holds and reports what was moved or typed in `raw`.

const html = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
};

function controlRow(spec, id, send) {
  const slider = html("input", { type: "range", id: `${id}-s`, min: spec.low, max: spec.high, step: spec.step, "aria-label": `${spec.label}, slider` });
  const box = html("input", { type: "text", id: `${id}-t`, class: "rl-box", "aria-label": `${spec.label}, typed`, spellcheck: "false", autocomplete: "off" });
  const label = html("label", { for: `${id}-t`, class: "rl-label" }, spec.label);
  const row = html("div", { class: "rl-row" }, label, slider, box);
  let follow = null;
  if (spec.follow) {
    follow = html("input", { type: "checkbox", id: `${id}-f`, "aria-label": spec.follow });
    row.append(html("label", { class: "rl-follow", title: spec.follow }, follow, "as rafter"));
    follow.addEventListener("change", () => send(`${spec.name}_follows`, follow.checked ? "yes" : "no"));
  }
  let dirty = false;
  slider.addEventListener("input", () => { dirty = false; send(spec.name, spec.choices ? spec.choices[+slider.value] : String(slider.value)); });
  box.addEventListener("input", () => { dirty = true; });
  const commit = () => { if (dirty) { dirty = false; send(spec.name, box.value); } };
  box.addEventListener("change", commit);
  box.addEventListener("keydown", (event) => { if (event.key === "Enter") { dirty = true; commit(); } });
  return {
    node: row,
    show(field, locked) {
      if (!field) return;
      if (field.number !== null) slider.value = field.number;
      slider.setAttribute("aria-valuetext", field.text);
      if (!dirty) box.value = field.text;
      box.toggleAttribute("aria-invalid", field.bad);
      box.classList.toggle("rl-bad", field.bad);
      const off = locked || field.off;
      slider.disabled = off; box.disabled = off;
      if (follow) { follow.checked = field.follows; follow.disabled = locked; }
    },
    tidy() { dirty = false; },
  };
}

function render({ model, el }) {
  const setup = model.get("setup");
  const id = `rl-${Math.random().toString(36).slice(2)}`;
  const send = (name, value) => {
    model.set("raw", { ...model.get("raw"), [name]: value });
    model.save_changes();
  };
  const bump = (name) => send(name, String(Number(model.get("raw")[name] || 0) + 1));

  const root = html("div", { class: `rl-panel ${setup.size || ""}`, "data-lm-suppress-shortcuts": "true", role: "group", "aria-label": setup.label });
  const sentence = html("div", { class: "rl-sentence", role: "status", "aria-live": "polite" });
  const rows = setup.controls.map((spec, i) => controlRow(spec, `${id}-${i}`, send));
  const reset = html("button", { type: "button", class: "rl-button" }, "Reset");
  const keep = html("button", { type: "button", class: "rl-button", title: "Keep these numbers beside later ones" }, "Keep");
  reset.addEventListener("click", () => {
    rows.forEach((row) => row.tidy());
    model.set("raw", { _reset: String(Number(model.get("raw")._reset || 0) + 1) });
    model.save_changes();
  });
  keep.addEventListener("click", () => bump("_keep"));
  const detail = html("div", { class: "rl-detail" });
  const keys = html("div", { class: "rl-keys" }, "Tab moves on, arrow keys move a slider, Enter takes a typed value.");
  const left = html("div", { class: "rl-left" }, ...rows.map((row) => row.node), html("div", { class: "rl-row rl-buttons" }, reset, keep, keys), detail);

  const tabs = html("div", { class: "rl-tabs", role: "group", "aria-label": "View" });
  setup.views.forEach(([name, label]) => {
    const tab = html("button", { type: "button", class: "rl-button", "data-view": name }, label);
    tab.addEventListener("click", () => send("_view", name));
    tabs.append(tab);
  });
  if (setup.views.length < 2) tabs.style.display = "none";
  const picture = html("div", { class: "rl-picture" });
  const stale = html("div", { class: "rl-stale" }, "last good picture");
  const readings = html("div", { class: "rl-readings" });
  const note = html("div", { class: "rl-note", "aria-live": "polite" });
  const right = html("div", { class: "rl-right" }, tabs, html("div", { class: "rl-frame" }, picture, stale), readings, note);
  readings.addEventListener("click", (event) => {
    const button = event.target.closest("[data-why]");
    if (button) send("_why", button.dataset.why);
  });
  root.append(sentence, html("div", { class: "rl-columns" }, left, right));
  el.append(root);

  const put = (node, text) => { if (node.dataset.text !== text) { node.innerHTML = text; node.dataset.text = ""; } };
  let last = {};
  const show = () => {
    const shown = model.get("shown");
    const locked = model.get("locked");
    const focused = document.activeElement && readings.contains(document.activeElement) ? document.activeElement.dataset.why : null;
    for (const [name, node] of Object.entries({ sentence, picture, detail, readings, note })) {
      if (shown[name] !== undefined && shown[name] !== last[name]) put(node, shown[name]);
    }
    if (focused) readings.querySelector(`[data-why="${focused}"]`)?.focus();
    last = shown;
    setup.controls.forEach((spec, i) => rows[i].show(shown.fields[spec.name], locked));
    root.classList.toggle("rl-is-stale", Boolean(shown.stale));
    root.classList.toggle("rl-locked", locked);
    reset.disabled = locked; keep.disabled = locked;
    tabs.querySelectorAll("[data-view]").forEach((tab) => tab.setAttribute("aria-pressed", String(tab.dataset.view === shown.view)));
    root.dataset.serial = shown.serial;
  };
  model.on("change:shown", show);
  model.on("change:locked", show);
  show();
  return () => { model.off("change:shown", show); model.off("change:locked", show); };
}

export default { render };

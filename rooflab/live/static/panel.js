// The live panel: labelled sliders and text boxes in, one message out; pictures, readings and sentences back.
// All computing is done in Python; this file only shows what comes and reports what was moved or typed in `raw`.
// Each report carries a turn, each answer the turn that it answers: a late answer never moves a control back.

const tooWide = (cell) => cell.scrollWidth > cell.clientWidth;

// No number or verdict is cut: a cell that is too narrow for its text gets smaller letters, then one of its shorter
// texts, then a second line; under few controls there is room for that line, before what a number was is left out.
function fitCells(table) {
  let over = [...table.querySelectorAll("td")].filter(tooWide);
  for (const cell of over) cell.classList.add("rl-tight");
  over = over.filter(tooWide);
  while (over.length) {
    over = over.filter((cell) => {
      const [text, ...others] = (cell.dataset.less || "").split("|");
      if (text && cell.closest(".rl-small") && !/\b(was|kept) /.test(text)) {
        cell.classList.add("rl-wrap");
        return false;
      }
      if (text) cell.textContent = text;
      else if (cell.cellIndex === 2 && cell.closest(".rl-room")) cell.textContent = ""; // letters stay large there: what it was is left out
      else cell.classList.add("rl-wrap");
      cell.dataset.less = others.join("|");
      return text;
    }).filter(tooWide);
  }
}

// A box with a long text gets smaller letters.
function fitBoxes(boxes) {
  for (const box of boxes) box.classList.remove("rl-tight");
  for (const box of boxes.filter(tooWide)) box.classList.add("rl-tight");
}

function controlRow(spec, id, send) {
  const names = { slider: `${spec.label}, slider`, box: `${spec.label}, typed` };
  const slider = html("input", { type: "range", id: `${id}-s`, min: spec.low, max: spec.high, step: spec.step, "aria-label": names.slider });
  const box = html("input", { type: "text", id: `${id}-t`, class: "rl-box", "aria-label": names.box, spellcheck: "false", autocomplete: "off" });
  const row = html("div", { class: "rl-row" }, html("label", { for: `${id}-t`, class: "rl-label" }, spec.label), slider, box);
  let typing = false; // the box holds text that was not sent
  let by = slider; // what was used last
  let follow = null;
  if (spec.follow) {
    follow = html("input", { type: "checkbox", id: `${id}-f`, "aria-label": spec.follow });
    box.before(html("label", { class: "rl-follow", title: spec.follow }, follow, "as rafter"));
    row.classList.add("rl-follows");
    follow.addEventListener("change", () => {
      typing = false;
      send({ [`${spec.name}_follows`]: follow.checked ? "yes" : "no", [spec.name]: undefined });
    });
  }
  slider.addEventListener("input", () => {
    typing = false;
    by = slider;
    send({ [spec.name]: spec.choices ? spec.choices[+slider.value] : slider.value });
  });
  const commit = () => {
    if (!typing) return;
    typing = false;
    by = box;
    send({ [spec.name]: box.value });
  };
  box.addEventListener("input", () => { typing = true; });
  box.addEventListener("change", commit);
  box.addEventListener("keydown", (event) => { if (event.key === "Enter") { typing = true; commit(); } });
  return {
    node: row,
    box,
    show(field, locked, asked) {
      const late = asked !== undefined && asked !== field.raw;
      if (!late && field.number !== null) {
        if (field.high !== undefined) slider.max = field.high;
        slider.value = field.number;
      }
      slider.setAttribute("aria-valuetext", field.text);
      if (!typing && !(late && by === box)) box.value = field.text;
      box.setAttribute("aria-invalid", String(field.bad));
      box.classList.toggle("rl-bad", field.bad);
      slider.disabled = box.disabled = locked || field.off;
      if (follow) { follow.checked = field.follows; follow.disabled = locked; }
    },
    tidy() { typing = false; },
  };
}

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  const write = (raw) => {
    answer.wait();
    model.set("raw", { ...raw, _turn: String(Number(model.get("raw")._turn || 0) + 1) });
    root.dataset.waiting = "yes";
    model.save_changes();
  };
  const send = (changes) => {
    const raw = { ...model.get("raw"), ...changes };
    for (const name of Object.keys(changes)) if (raw[name] === undefined) delete raw[name];
    write(raw);
  };
  const next = (name) => String(Number(model.get("raw")[name] || 0) + 1);

  const rows = setup.controls.map((spec, i) => controlRow(spec, `${id}-${i}`, send));
  const reset = button("Reset", () => {
    rows.forEach((row) => row.tidy());
    const { _view, _why } = model.get("raw");
    write({ _reset: next("_reset"), ...(_view && { _view }), ...(_why && { _why }) });
  }, { title: "Back to the numbers this panel opened with" });
  const keep = button("Keep", () => send({ _keep: next("_keep") }), { title: "Keep these readings beside later ones" });
  const keys = html("div", { class: "rl-keys" });
  const tabs = html("div", { class: "rl-tabs", role: "group", "aria-label": "View" });
  setup.views.forEach(([name, label]) => {
    tabs.append(button(label, () => send({ _view: name }), { "data-view": name }));
  });
  tabs.hidden = setup.views.length < 2;

  const slots = {
    sentence: html("div", { class: "rl-sentence", role: "status", "aria-live": "polite" }),
    picture: html("div", { class: "rl-picture" }),
    detail: html("div", { class: "rl-detail" }),
    readings: html("div", { class: "rl-readings" }),
    note: html("div", { class: "rl-note", "aria-live": "polite" }),
  };
  const frame = html("div", { class: "rl-frame", [OWN_KEYS]: "true" }, slots.picture, html("div", { class: "rl-stale" }, "last good picture"));
  const buttons = html("div", { class: "rl-row rl-buttons" }, reset, keep, keys);
  const small = setup.size === "small" || setup.size === "room"; // the readings stand under the few controls
  const left = html("div", { class: "rl-left" }, ...rows.map((row) => row.node), buttons, small ? slots.readings : slots.detail);
  const right = html("div", { class: "rl-right" }, tabs, frame, ...(small ? [] : [slots.readings]), slots.note);
  const root = html("div", { class: `rl-panel rl-${setup.size || "full"}`, role: "group", "aria-label": setup.label },
    slots.sentence, html("div", { class: "rl-columns" }, left, right));
  slots.readings.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-why]");
    if (pressed) send({ _why: pressed.dataset.why });
  });
  el.append(root);

  const answer = silence(root, slots.sentence, () => { last.sentence = null; }); // written again with the next answer
  const last = {};
  const show = () => {
    answer.heard();
    const fresh = Object.keys(slots).filter((name) => model.get(name) !== last[name]);
    const active = document.activeElement;
    const focused = fresh.includes("readings") && slots.readings.contains(active) ? active.dataset.why : null;
    for (const name of fresh) slots[name].innerHTML = last[name] = model.get(name);
    if (fresh.includes("readings")) fitCells(slots.readings);
    const { fields, state } = { fields: model.get("fields"), state: model.get("state") };
    const why = slots.readings.querySelectorAll("[data-why]");
    for (const node of why) {
      node.setAttribute(OWN_KEYS, "true");
      node.setAttribute("aria-pressed", String(node.dataset.why === state.why));
      if (node.dataset.why === focused) node.focus();
    }
    const list = slots.picture.querySelector(".rl-list") !== null; // lists scroll, and then by keyboard too
    for (const [name, value] of Object.entries({ tabindex: "0", role: "region", "aria-label": "List" })) {
      if (list) frame.setAttribute(name, value); else frame.removeAttribute(name);
    }
    const raw = model.get("raw");
    const locked = model.get("locked");
    setup.controls.forEach((spec, i) => rows[i].show(fields[spec.name], locked, raw[spec.name]));
    fitBoxes(rows.map((row) => row.box));
    root.classList.toggle("rl-is-stale", state.stale);
    root.dataset.verdict = state.verdict;
    root.classList.toggle("rl-locked", locked);
    keys.textContent = locked ? "Choose your prediction first." : "Tab moves on, arrow keys slide, Enter takes what is typed.";
    reset.disabled = keep.disabled = locked;
    for (const tab of tabs.children) tab.setAttribute("aria-pressed", String(tab.dataset.view === state.view));
    root.dataset.serial = state.serial;
    root.dataset.waiting = state.turn === (raw._turn || "") ? "no" : "yes";
    if (root.dataset.waiting === "yes") answer.wait();
  };
  const events = "change:state change:locked";
  model.on(events, show);
  show();
  const sized = new ResizeObserver(() => { fitCells(slots.readings); fitBoxes(rows.map((row) => row.box)); }); // also when it first stands on the page
  sized.observe(slots.readings);
  const fitAgain = () => {
    last.readings = "";
    show();
  };
  window.addEventListener(FACE_LOADED, fitAgain);
  return () => {
    sized.disconnect();
    window.removeEventListener(FACE_LOADED, fitAgain);
    model.off(events, show);
  };
}

export default widget(render);

// The live panel: labelled sliders and text boxes in, one message out; pictures, readings and sentences back.
// All computing is done in Python; this file only shows what comes and reports what was moved or typed in `raw`.
// Each report carries a turn, each answer the turn that it answers: a late answer never moves a control back.

const STEP = 8; // px in which the page tells how wide and high it is
const OF_PAGE = ["_view", "_why", "_width", "_height"]; // what a reset leaves as it is

const FEW_ROWS = 3; // controls that leave room for readings beside them
const FEW = 6; // choices that are buttons; more are a list
const OTHER = "other";

const tooWide = (cell) => cell.scrollWidth > cell.clientWidth;

// In a room no number or verdict is cut: a cell that is too narrow for its text gets one of its shorter texts, then none.
function fitCells(table) {
  let over = [...table.querySelectorAll("td")].filter(tooWide);
  for (const cell of over) cell.classList.add("rl-tight");
  over = over.filter(tooWide);
  while (over.length) {
    over = over.filter((cell) => {
      const [text, ...others] = (cell.dataset.less || "").split("|");
      if (text || cell.cellIndex === 2) cell.textContent = text; // what it was is left out
      else cell.classList.add("rl-wrap");
      cell.dataset.less = others.join("|");
      return text;
    }).filter(tooWide);
  }
}

// A box whose text needs more room gets a line of its own.  To measure costs a layout: only new texts are, and long ones.
const SHORT = 8; // letters that any box has room for
const fitted = new WeakMap();
function fitBoxes(boxes, all = false) {
  const fresh = boxes.filter((box) => all || fitted.get(box) !== box.value);
  for (const box of fresh) {
    fitted.set(box, box.value);
    box.classList.remove("rl-long");
  }
  for (const box of fresh.filter((one) => one.value.length > SHORT && tooWide(one))) box.classList.add("rl-long");
}

// A box whose text is sent by Enter, or when it is left.
function textBox(spec, id, put) {
  const node = html("input", { type: "text", id, class: "rl-box", "aria-label": `${spec.label}, typed`, spellcheck: "false", autocomplete: "off" });
  let typing = false; // it holds text that was not sent
  const commit = () => {
    if (!typing) return;
    typing = false;
    put(node.value);
  };
  node.addEventListener("input", () => { typing = true; });
  node.addEventListener("change", commit);
  node.addEventListener("keydown", (event) => { if (event.key === "Enter") { typing = true; commit(); } });
  return { node, show(text) { if (!typing) node.value = text; }, tidy() { typing = false; } };
}

const isLate = (field, asked) => asked !== undefined && asked !== field.raw; // it answers what was asked before

const marked = (field, ...nodes) => {
  for (const node of nodes) {
    node.setAttribute("aria-invalid", String(field.bad));
    node.classList.toggle("rl-bad", field.bad);
  }
};

function controlRow(spec, id, send) {
  const slider = html("input", { type: "range", id: `${id}-s`, min: spec.low, max: spec.high, step: spec.step, "aria-label": `${spec.label}, slider` });
  let by = slider; // what was used last
  const typed = textBox(spec, `${id}-t`, (text) => {
    by = box;
    send({ [spec.name]: text });
  });
  const box = typed.node;
  const row = html("div", { class: "rl-row" }, html("label", { for: `${id}-t`, class: "rl-label" }, spec.label), slider, box);
  let follow = null;
  if (spec.follow) {
    follow = html("input", { type: "checkbox", id: `${id}-f`, "aria-label": spec.follow });
    box.before(html("label", { class: "rl-follow", title: spec.follow }, follow, "as rafter"));
    row.classList.add("rl-follows");
    follow.addEventListener("change", () => {
      typed.tidy();
      send({ [`${spec.name}_follows`]: follow.checked ? "yes" : "no", [spec.name]: undefined });
    });
  }
  slider.addEventListener("input", () => {
    typed.tidy();
    by = slider;
    send({ [spec.name]: spec.choices ? spec.choices[+slider.value] : slider.value });
  });
  return {
    node: row,
    box,
    show(field, locked, asked) {
      const late = isLate(field, asked);
      if (!late && field.number !== null) {
        if (field.high !== undefined) slider.max = field.high;
        slider.value = field.number;
      }
      slider.setAttribute("aria-valuetext", field.text);
      if (!(late && by === box)) typed.show(field.text);
      marked(field, box);
      slider.disabled = box.disabled = locked || field.off;
      if (follow) { follow.checked = field.follows; follow.disabled = locked; }
    },
    tidy: typed.tidy,
  };
}

// One of a few words: buttons, with small pictures where Python sends them; one of many: a list.  Where something else
// may be typed, a last button opens a box for it.
function choiceRow(spec, id, send) {
  const typed = textBox(spec, `${id}-t`, (text) => send({ [spec.name]: text }));
  const box = typed.node;
  const named = { "aria-labelledby": `${id}-l` };
  const marks = [...spec.choices, ...(spec.typed ? [OTHER] : [])];
  const list = html("select", { class: "rl-box rl-pick", ...named }, ...marks.map((value) => html("option", { value }, value)));
  const radios = marks.map((value) => html("input", { type: "radio", name: id, value, ...(value === OTHER && { "aria-label": "other, typed" }) }));
  const group = html("div", { class: "rl-choices", role: "radiogroup", ...named }, ...radios.map((radio, i) => {
    const label = html("label", { class: "rl-choice" }, radio);
    label.insertAdjacentHTML("beforeend", (spec.pictures || [])[i] || "");
    label.append(radio.value === OTHER ? "\u2026" : radio.value);
    return label;
  }));
  const row = html("div", { class: "rl-row" }, html("span", { class: "rl-label", id: `${id}-l` }, spec.label), marks.length > FEW ? list : group, ...(spec.typed ? [box] : []));
  let open = false; // the box was asked for
  const pick = (value) => {
    open = value === OTHER;
    typed.tidy();
    box.hidden = !open;
    if (open) box.focus();
    else send({ [spec.name]: value });
  };
  for (const node of [list, ...radios]) node.addEventListener("change", () => pick(node.value));
  return {
    node: row,
    box,
    show(field, locked, asked) {
      if (!isLate(field, asked)) {
        open = open && document.activeElement === box;
        const shown = spec.choices.includes(field.text) && !open ? field.text : OTHER;
        for (const radio of radios) radio.checked = radio.value === shown;
        list.value = shown;
        box.hidden = shown !== OTHER;
        typed.show(field.text);
      }
      marked(field, box, group, list);
      for (const node of [box, list, ...radios]) node.disabled = locked || field.off;
    },
    tidy() {
      typed.tidy();
      open = false;
    },
  };
}

function render({ model, el }) {
  const setup = model.get("setup");
  const id = newId();
  let asked = 0; // the turn of what a reader did last
  const write = (raw, quiet = false) => {
    const turn = Number(model.get("raw")._turn || 0) + 1;
    if (!quiet) {
      asked = turn;
      answer.wait();
    }
    model.set("raw", { ...raw, ...hands.marks(), _turn: String(turn) });
    root.dataset.waiting = "yes";
    model.save_changes();
  };
  const send = (changes, quiet) => {
    const raw = { ...model.get("raw"), ...changes };
    for (const name of Object.keys(changes)) if (raw[name] === undefined) delete raw[name];
    write(raw, quiet);
  };
  const tell = () => { // how much room there is, in steps: Python lays out for it
    const [_width, _height] = [root.clientWidth, window.innerHeight].map((px) => String(Math.floor(px / STEP) * STEP));
    const raw = model.get("raw");
    if (!room && root.clientWidth && (raw._width !== _width || raw._height !== _height)) send({ _width, _height }, true);
  };
  const next = (name) => String(Number(model.get("raw")[name] || 0) + 1);

  const rows = setup.controls.map((spec, i) => (spec.choices && !spec.ordered && setup.size !== "room" ? choiceRow : controlRow)(spec, `${id}-${i}`, send));
  const reset = button("Reset", () => {
    rows.forEach((row) => row.tidy());
    const page = Object.entries(model.get("raw")).filter(([name]) => OF_PAGE.includes(name));
    write({ ...Object.fromEntries(page), _reset: next("_reset") });
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
  const board = (slot) => html("div", { class: "rl-board" }, slot); // what a hand can touch lies over its drawing
  const detail = board(slots.detail);
  const frame = html("div", { class: "rl-frame", [OWN_KEYS]: "true" }, board(slots.picture), html("div", { class: "rl-stale" }, "last good picture"));
  const buttons = html("div", { class: "rl-row rl-buttons" }, reset, keep);
  const controls = html("div", { class: "rl-controls" }, ...rows.map((row) => row.node), buttons);
  const left = html("div", { class: "rl-left" }, controls, slots.readings, slots.note, detail);
  const right = html("div", { class: "rl-right" }, frame);
  const room = setup.size === "room";
  const root = html("div", { class: `rl-panel ${room ? "rl-room" : "rl-page"}`, role: "group", "aria-label": setup.label },
    slots.sentence, html("div", { class: "rl-columns" }, left, right));
  const hands = handsOn({ root, model, send, slots: { picture: slots.picture, detail: slots.detail } });
  buttons.append(...Object.values(hands.buttons), keys);
  slots.readings.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-why]");
    if (!pressed) return;
    send({ _why: pressed.dataset.why });
    opened = true;
  });
  el.append(root);

  const answer = silence(root, slots.sentence, () => { last.sentence = null; }); // written again with the next answer
  const last = {};
  let opened = false; // a reading was pressed: its reasoning is to be seen
  const show = () => {
    answer.heard();
    hands.take(model.get("state").steps.moved);
    const fresh = Object.keys(slots).filter((name) => model.get(name) !== last[name]);
    const active = document.activeElement;
    const focused = fresh.includes("readings") && slots.readings.contains(active) ? active.dataset.why : null;
    for (const name of fresh) slots[name].innerHTML = last[name] = model.get(name);
    const { fields, state } = { fields: model.get("fields"), state: model.get("state") };
    if (room && fresh.includes("readings")) fitCells(slots.readings);
    const { left: beside, tall, rest, lines, stacked } = state.frames;
    root.dataset.page = state.frames.page;
    root.classList.toggle("rl-under", !beside);
    root.classList.toggle("rl-few", rows.length <= FEW_ROWS);
    for (const [name, px] of Object.entries({ left: beside, tall, rest, bar: 10 + 20 * lines })) root.style.setProperty(`--rl-${name}`, `${px}px`);
    const top = beside ? left : right;
    if (tabs.parentNode !== top) top.prepend(tabs);
    if (frame.contains(detail) !== Boolean(stacked)) (stacked ? frame : left).append(detail);
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
    keys.textContent = locked ? "Choose your prediction first." : "";
    reset.disabled = keep.disabled = locked;
    for (const tab of tabs.children) tab.setAttribute("aria-pressed", String(tab.dataset.view === state.view));
    root.dataset.serial = state.serial;
    root.dataset.waiting = state.turn === (raw._turn || "") ? "no" : "yes";
    hands.show(model.get("touch"), state, locked, root.dataset.waiting === "no");
    if (Number(state.turn || 0) < asked) answer.wait();
    else if (opened) slots.note.scrollIntoView({ block: "nearest" });
    opened = opened && Number(state.turn || 0) < asked;
  };
  const events = "change:state change:locked";
  model.on(events, show);
  show();
  let timer = 0;
  const resized = () => {
    clearTimeout(timer);
    timer = setTimeout(tell, 60);
    if (room) fitCells(slots.readings);
    fitBoxes(rows.map((row) => row.box), true);
  };
  const sized = new ResizeObserver(resized); // also when it first stands on the page
  sized.observe(root);
  sized.observe(left);
  const fitAgain = () => {
    last.readings = "";
    fitBoxes(rows.map((row) => row.box), true);
    show();
  };
  window.addEventListener("resize", resized);
  window.addEventListener(FACE_LOADED, fitAgain);
  return () => {
    clearTimeout(timer);
    sized.disconnect();
    window.removeEventListener("resize", resized);
    window.removeEventListener(FACE_LOADED, fitAgain);
    model.off(events, show);
  };
}

export default widget(render);

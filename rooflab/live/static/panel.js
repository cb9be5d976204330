// The live panel: labelled sliders and text boxes in, one message out; pictures, readings and sentences back.
// All computing is done in Python; this file only shows what comes and reports what was moved or typed in `raw`.
// Each report carries a turn, each answer the turn that it answers: a late answer never moves a control back.

const STEP = 8; // px in which the page tells how wide and high it is
const QUIET = 60; // ms after which it is asked what the next step of a slider would bring
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

// A box whose text is sent by Enter, or when it is left; a box for a list by Enter with Control, and when it is pasted.
function textBox(spec, id, put) {
  const lines = spec.kind === "lines";
  const node = html(lines ? "textarea" : "input", { ...(lines ? { rows: spec.rows } : { type: "text" }), id, class: "rl-box", "aria-label": `${spec.label}, typed`, spellcheck: "false", autocomplete: "off" });
  let typing = false; // it holds text that was not sent
  const commit = () => {
    if (!typing) return;
    typing = false;
    put(node.value);
  };
  node.addEventListener("input", (event) => {
    typing = true;
    if (lines && event.inputType === "insertFromPaste") commit();
  });
  node.addEventListener("change", commit);
  node.addEventListener("keydown", (event) => { if (event.key === "Enter" && (!lines || event.ctrlKey || event.metaKey)) { typing = true; commit(); } });
  return { node, show(text) { if (!typing) node.value = text; }, tidy() { typing = false; } };
}

const isLate = (field, asked) => asked !== undefined && asked !== field.raw; // it answers what was asked before

const marked = (field, ...nodes) => {
  for (const node of nodes) {
    node.setAttribute("aria-invalid", String(field.bad));
    node.classList.toggle("rl-bad", field.bad);
  }
};

function controlRow(spec, id, send, look) {
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
    send({ [spec.name]: textAt(spec, slider.value) });
  });
  slider.addEventListener("focus", () => look(spec.name));
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

// A list in a box of its own under its name: no slider.
function linesRow(spec, id, send) {
  const typed = textBox(spec, `${id}-t`, (text) => send({ [spec.name]: text }));
  const box = typed.node;
  return {
    node: html("div", { class: "rl-row rl-lines" }, html("label", { for: box.id, class: "rl-label" }, spec.label), box),
    box,
    show(field, locked, asked) {
      if (!isLate(field, asked)) typed.show(field.text);
      marked(field, box);
      box.disabled = locked || field.off;
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
  const message = (raw) => ({ ...raw, ...hands.marks(), _turn: String(Number(model.get("raw")._turn || 0) + 1) });
  const write = (raw, quiet = false) => {
    const sent = message(raw);
    if (!quiet) {
      asked = Number(sent._turn);
      answer.wait();
    }
    early = ahead[JSON.stringify(sent)] || null;
    model.set("raw", sent);
    root.dataset.waiting = "yes";
    model.save_changes();
    if (early) show();
  };
  const changed = (changes) => {
    const raw = { ...model.get("raw"), ...changes };
    for (const name of Object.keys(changes)) if (raw[name] === undefined) delete raw[name];
    return raw;
  };
  const send = (changes, quiet) => {
    if (!quiet) used = changes;
    write(changed(changes), quiet);
  };

  // A step ahead: Python says beforehand what the next step of the control in use would bring.  It shows as soon as just
  // that message is sent; the message goes all the same, and what it brings stands.
  let early = null; // what is shown in place of an answer that is on its way
  let ahead = {}; // answers by the message that they are for
  let asking = {}; // number of what was asked, and its messages
  let quiet = 0;
  let used = {}; // what was sent last
  const look = (focused) => {
    if (focused) used = { [focused]: "" };
    clearTimeout(quiet);
    quiet = setTimeout(() => {
      const spec = setup.controls.find(({ name, step }) => step && name in used);
      const field = spec && model.get("fields")[spec.name];
      if (!field || field.number === null || field.off || model.get("locked") || root.dataset.waiting !== "no") return;
      const slider = { ...spec, high: field.high ?? spec.high };
      const raws = [-1, 1].map((way) => message(changed({ ...used, [spec.name]: textAt(spec, oneStep(slider, field.number, way)) })));
      asking = { of: newId(), texts: raws.map((raw) => JSON.stringify(raw)) };
      model.send({ ahead: raws, of: asking.of });
    }, QUIET);
  };
  const told = (message) => {
    if (message.of && message.of === asking.of) ahead = Object.fromEntries(message.ahead.map((one, i) => [asking.texts[i], one]));
  };
  const tell = () => { // how much room there is, in steps: Python lays out for it
    const [_width, _height] = [root.clientWidth, window.innerHeight].map((px) => String(Math.floor(px / STEP) * STEP));
    const raw = model.get("raw");
    if (!room && root.clientWidth && (raw._width !== _width || raw._height !== _height)) send({ _width, _height }, true);
  };
  const next = (name) => String(Number(model.get("raw")[name] || 0) + 1);

  const rowOf = (spec) => (spec.kind === "lines" ? linesRow : spec.choices && !spec.ordered && setup.size !== "room" ? choiceRow : controlRow);
  const rows = setup.controls.map((spec, i) => rowOf(spec)(spec, `${id}-${i}`, send, look));
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
    const seen = (name) => (early ? early[name] : model.get(name));
    if (!early) {
      answer.heard();
      hands.take(model.get("state").steps.moved);
    }
    const fresh = Object.keys(slots).filter((name) => seen(name) !== last[name]);
    const active = document.activeElement;
    const focused = fresh.includes("readings") && slots.readings.contains(active) ? active.dataset.why : null;
    for (const name of fresh) slots[name].innerHTML = last[name] = seen(name);
    const [fields, state] = ["fields", "state"].map(seen);
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
    root.dataset.waiting = !early && state.turn === (raw._turn || "") ? "no" : "yes";
    hands.show(seen("touch"), state, locked, root.dataset.waiting === "no");
    if (Number(state.turn || 0) < asked) answer.wait();
    else if (opened) slots.note.scrollIntoView({ block: "nearest" });
    opened = opened && Number(state.turn || 0) < asked;
  };
  const hear = () => {
    early = null;
    show();
    look();
  };
  const events = "change:state change:locked";
  model.on(events, hear);
  model.on("msg:custom", told);
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
    clearTimeout(quiet);
    sized.disconnect();
    window.removeEventListener("resize", resized);
    window.removeEventListener(FACE_LOADED, fitAgain);
    model.off(events, hear);
    model.off("msg:custom", told);
  };
}

export default widget(render);

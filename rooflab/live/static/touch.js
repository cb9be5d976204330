// The hand on a drawing: what Python names (`touch`: numbers, slope marks, grips, each with its place) lies over the
// picture as buttons and sliders; what is typed, pulled or chosen goes back in `raw`.  Places are turned into model inches
// by the scale and origin that came with the picture; all else is decided in Python.

const SLACK = 5; // px that a press may slip without being a pull

// Where a control stands one step further, as its slider moves, and its text there.
function oneStep({ low, high, step }, number, way) {
  const slider = html("input", { type: "range", min: low, max: high, step });
  slider.value = number;
  if (way > 0) slider.stepUp(); else slider.stepDown();
  return slider.value;
}
const textAt = ({ choices }, place) => (choices ? choices[+place] : place);

function handsOn({ root, model, send, slots }) {
  const layers = {}; // by slot: the node over its drawing, the sheet that it shows, the nodes of its items by name
  const buttons = {
    undo: button("Undo", () => send({ _undo: next("_undo") }), { title: "Back to the numbers before the last change (Ctrl+Z)" }),
    redo: button("Redo", () => send({ _redo: next("_redo") }), { title: "Do again what was undone (Ctrl+Y)" }),
    before: button("Before", () => {
      root.classList.toggle("rl-no-ghost");
      buttons.before.setAttribute("aria-pressed", String(!root.classList.contains("rl-no-ghost")));
    }, { title: "Show in grey what was there before" }),
  };
  let locked = false;
  let run = 0; // moves of one control in one run are one step to undo
  let typing = null; // a box whose text was not sent
  let open = null; // what stands open beside a number
  const stepped = {}; // numbers by control that arrow keys have come to, until an answer brings them
  const raw = () => model.get("raw");
  const next = (name) => String(Number(raw()[name] || 0) + 1);

  for (const [slot, node] of Object.entries(slots)) {
    const layer = html("div", { class: "rl-touch", "data-slot": slot, role: "group", "aria-label": "Numbers and grips on the drawing", [OWN_KEYS]: "true" });
    node.after(layer);
    layers[slot] = { node: layer, sheet: null, nodes: new Map() };
    layer.addEventListener("pointerdown", (event) => {
      if (event.target === layer) pullFrom(slot, event); else pull(slot, event, event.target.closest("[data-touch]"));
    });
    layer.addEventListener("click", (event) => {
      const item = itemOf(slot, event);
      if (item && item.kind !== "grip" && !locked) show(slot, item);
      if (event.target === layer && layers[slot].sheet?.field && !locked) {
        run += 1;
        send({ _slot: slot, _take: next("_take"), _at: placeOn(slot)(event) });
      }
    });
    layer.addEventListener("keydown", (event) => {
      const item = itemOf(slot, event);
      const way = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1 }[event.key];
      if (!item || item.kind !== "grip" || !way || locked) return;
      event.preventDefault();
      step(item, way);
    });
  }
  const itemOf = (slot, event) => event.target.closest("[data-touch]")?.item;

  // Where the pointer is, in model inches, less what it is beside what it holds.
  function placeOn(slot, dx = 0, dy = 0) {
    const { node: layer, sheet: { wide, map: [scale, x0, y0] } } = layers[slot];
    const box = layer.getBoundingClientRect();
    return ({ clientX, clientY }) => {
      const [x, y] = [clientX - dx - box.left, clientY - dy - box.top].map((way) => way * wide / box.width);
      return `${((x - x0) / scale).toFixed(3)},${((y0 - y) / scale).toFixed(3)}`;
    };
  }

  // One step of a control, as its slider makes it.
  function step(item, way) {
    const place = stepped[item.control] = oneStep(item, stepped[item.control] ?? item.number, way);
    send({ [item.control]: textAt(item, place), ...item.also });
  }

  // A pull that begins beside all grips moves the one that its drawing names; a press without a way is no pull.
  function pullFrom(slot, event) {
    const node = layers[slot].nodes.get(layers[slot].sheet?.anywhere);
    if (!node) return;
    const begin = (e) => {
      if (Math.hypot(e.clientX - event.clientX, e.clientY - event.clientY) < SLACK) return;
      end();
      pull(slot, event, node);
    };
    const events = [["pointermove", begin], ["pointerup", () => end()], ["pointercancel", () => end()]];
    const end = () => { for (const [name, act] of events) window.removeEventListener(name, act); };
    for (const [name, act] of events) window.addEventListener(name, act);
  }

  // A grip follows the pointer; the last place always arrives, Esc brings back what was there.
  function pull(slot, event, node) {
    const item = node?.item;
    if (!item || item.kind !== "grip" || locked || event.button) return;
    event.preventDefault();
    close();
    const own = node.getBoundingClientRect();
    const at = placeOn(slot, event.clientX - own.left - own.width / 2, event.clientY - own.top - own.height / 2);
    let last = at(event);
    const place = (more) => send({ _slot: slot, _grip: item.grip, _at: last, _up: undefined, ...more });
    const moved = (e) => { last = at(e); place(); };
    const end = (e) => {
      for (const [name, act] of events) node.removeEventListener(name, act);
      node.classList.remove("rl-pulled");
      if (e.type === "pointerup") last = at(e);
      place({ _up: "yes", ...(e.key && { _undo: next("_undo") }) });
    };
    const key = (e) => { if (e.key === "Escape") { e.stopPropagation(); end(e); } };
    const events = [["pointermove", moved], ["pointerup", end], ["pointercancel", end], ["keydown", key]];
    node.setPointerCapture(event.pointerId);
    node.focus();
    node.classList.add("rl-pulled");
    for (const [name, act] of events) node.addEventListener(name, act);
  }

  // What opens beside a number: a box that takes another one, the ways to it, or why it is fixed.
  function show(slot, item) {
    close();
    const node = layers[slot].nodes.get(item.name);
    const name = item.label.replace(/, edit/, "");
    const pop = html("div", { class: `rl-pop rl-pop-${item.side}`, role: "dialog", "aria-label": name });
    open = { slot, item, node, pop, sent: undefined, before: item.control && raw()[item.control] };
    pop.style.cssText = item.style;
    const body = html("div", { class: "rl-pop-body" });
    pop.append(body);
    if (item.kind === "why") {
      body.append(html("p", { role: "status", tabindex: "-1", [OWN_KEYS]: "true" }, item.why));
    } else {
      const box = html("input", { type: "text", class: "rl-box", "aria-label": name, autocomplete: "off", spellcheck: "false" });
      box.value = item.text;
      open.box = box;
      open.told = html("div", { class: "rl-told", "aria-live": "polite" });
      body.append(box, open.told);
      box.addEventListener("keydown", (event) => {
        const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
        if (event.key === "Enter") take(box.value);
        if (way && item.control && typeof open.item.number === "number") { event.preventDefault(); open.sent = "step"; step(open.item, way); }
      });
    }
    pop.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      event.stopPropagation();
      if (open.sent !== undefined && item.control) send({ [item.control]: open.before });
      close(true);
    });
    pop.addEventListener("focusout", (event) => { if (event.relatedTarget && !pop.contains(event.relatedTarget)) close(); });
    layers[slot].node.append(pop);
    (open.box || body.firstChild).focus();
    open.box?.select();
  }

  function take(text, more = {}) {
    const { item, slot } = open;
    run += 1;
    open.sent = text;
    open.asked = item.kind === "ask" ? next("_asked") : undefined;
    if (item.control) send({ [item.control]: text, ...item.also });
    else send({ _slot: slot, _wish: item.name, _want: text, _asked: open.asked, _far: undefined, ...more });
  }

  function close(back = false) {
    const { pop, node, slot } = open || {};
    open = null;
    if (!pop) return;
    layers[slot].node.querySelector(".rl-way")?.remove();
    pop.remove();
    if (back) node.focus();
  }

  // The ways to a number: buttons, each with its ghost in the drawing while it is pointed at.
  function offer(ways) {
    const { slot, box, told, asked } = open;
    if (ways.asked !== asked || told.dataset.asked === asked) return;
    told.dataset.asked = asked;
    box.setAttribute("aria-invalid", String(ways.bad));
    const layer = layers[slot].node;
    const ghost = (shape) => () => {
      layer.querySelector(".rl-way")?.remove();
      if (!shape) return;
      layer.prepend(html("div", { class: "rl-way" }));
      layer.firstChild.innerHTML = shape;
    };
    told.replaceChildren(html("p", {}, ways.sentence), ...ways.ways.map((way) => {
      const one = button(way.words, () => { run += 1; send(way.set); close(true); }, { class: "rl-button rl-choose" });
      for (const cost of way.costs) one.append(html("small", {}, cost));
      for (const on of ["pointerenter", "focus"]) one.addEventListener(on, ghost(way.ghost));
      for (const off of ["pointerleave", "blur"]) one.addEventListener(off, ghost(""));
      return one;
    }), ...(ways.more ? [button("Look further: three changes at once", () => take(open.sent, { _far: "yes" }))] : []));
  }

  // Keys and presses of the whole panel: undo and redo, a try of what a list proposes, where a run of moves begins.
  const isBox = (node) => node.matches?.("input[type=text], textarea");
  root.addEventListener("input", (event) => { if (isBox(event.target)) typing = event.target; });
  root.addEventListener("change", (event) => { if (isBox(event.target)) { run += 1; typing = null; } }, true);
  root.addEventListener("pointerdown", () => { run += 1; }, true);
  root.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && isBox(event.target) && (event.ctrlKey || event.target.tagName === "INPUT")) { run += 1; typing = null; }
    const key = event.key.toLowerCase();
    if (!(event.ctrlKey || event.metaKey) || !["z", "y"].includes(key) || typing === event.target || locked) return;
    event.preventDefault();
    event.stopPropagation();
    const name = key === "y" || event.shiftKey ? "_redo" : "_undo";
    send({ [name]: next(name) });
  }, true);
  root.addEventListener("click", (event) => {
    const tried = event.target.closest("[data-set]");
    if (tried && !locked) send(Object.fromEntries(tried.dataset.set.split("|").map((pair) => pair.split(/=(.*)/s))));
  });

  return {
    buttons,
    marks: () => ({ _run: String(run), _seen: String(model.get("state").serial) }), // with every message
    // Texts that stand in Python in place of what was sent are taken over, but for those that were sent anew since.
    take(moved) {
      const texts = { ...raw() };
      for (const [name, [sent, text]] of Object.entries(moved)) {
        if (!sent.includes(texts[name] ?? null)) continue;
        if (text === null) delete texts[name]; else texts[name] = text;
      }
      model.set("raw", texts);
    },
    show(sheets, { steps, stale, serial }, isLocked, settled) {
      locked = isLocked;
      root.classList.toggle("rl-locked-hands", locked);
      if (settled) for (const name of Object.keys(stepped)) delete stepped[name];
      for (const [slot, layer] of Object.entries(layers)) {
        const fresh = sheets[slot];
        layer.node.hidden = !fresh;
        const { wide, tall, items } = fresh || { items: [] };
        const from = steps.from[slot];
        layer.node.classList.toggle("rl-field", Boolean(fresh?.field));
        layer.node.classList.toggle("rl-anywhere", Boolean(fresh?.anywhere));
        if (fresh) {
          layer.node.style.cssText = `max-width:${wide}px;aspect-ratio:${wide}/${tall}`;
          [layer.node.dataset.scale] = fresh.map; // px an inch
        }
        const moves = layer.serial !== serial && layer.sheet !== fresh && from && !matchMedia("(prefers-reduced-motion: reduce)").matches;
        if (moves) slots[slot].querySelector("svg").animate([{ transformOrigin: "0 0", transform: from }, { transformOrigin: "0 0", transform: "none" }], 220);
        Object.assign(layer, { sheet: fresh, serial });
        for (const [name, node] of layer.nodes) if (!items.some((one) => one.name === name) && !node.matches(".rl-pulled")) { node.remove(); layer.nodes.delete(name); }
        for (const item of items) {
          let node = layer.nodes.get(item.name);
          if (!node) {
            const kind = item.kind === "grip" ? { tabindex: "0", role: "slider" } : { type: "button" };
            node = html(item.kind === "grip" ? "div" : "button", { class: `rl-on rl-on-${item.kind}`, "data-touch": item.name, [OWN_KEYS]: "true", ...kind });
            layer.node.append(node);
            layer.nodes.set(item.name, node);
          }
          node.item = item;
          node.style.cssText = item.style;
          node.setAttribute("aria-label", item.label);
          if (item.kind === "grip") {
            const value = { valuemin: item.low, valuemax: item.high, valuenow: item.number, valuetext: item.text, disabled: locked };
            for (const [name, one] of Object.entries(value)) node.setAttribute(`aria-${name}`, one);
          } else node.disabled = locked;
        }
      }
      buttons.undo.disabled = locked || !steps.undo;
      buttons.redo.disabled = locked || !steps.redo;
      buttons.before.disabled = !root.querySelector(".rl-ghost");
      buttons.before.setAttribute("aria-pressed", String(!buttons.before.disabled && !root.classList.contains("rl-no-ghost")));
      if (!open) return;
      const item = layers[open.slot].nodes.get(open.item.name)?.item;
      if (!item || locked) return close();
      open.item = item;
      if (steps.ways.asked && item.kind === "ask" && settled) offer(steps.ways);
      if (item.kind !== "edit" || !settled || open.sent === undefined) return;
      open.box.setAttribute("aria-invalid", String(stale));
      if (stale) return;
      if (open.sent === "step") { open.box.value = item.text; open.box.select(); } else close(true);
    },
  };
}

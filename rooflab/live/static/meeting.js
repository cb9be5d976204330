// The view for the table: one step at a time, at most four controls, one picture or table, large type.
// Python decides everything; this file shows `page` and `picture` and reports what was done as `acts`.
// Acts are numbered, and each message carries all that are not answered yet: none is lost while Python is busy, and
// a late answer never moves a control back.  An act names the page, the thing and the state that it was meant for.

const FILL = "F8"; // lays the view over the whole window; Esc brings it back

// A control of a page: `node`, where the focus goes, and how it shows its spec.
function control(spec, id, done) {
  const named = { id, spellcheck: "false", autocomplete: "off", "aria-describedby": `${id}-h` };
  const label = html("label", { for: id, class: "rl-label" }, spec.label);
  const hint = html("div", { class: "rl-hint", id: `${id}-h` });
  let typing = false; // the box holds text that was not sent
  let of = spec.of; // what stands in the control is about, or was when typing began
  if (spec.kind === "button") {
    const node = button(spec.label, () => done("press", spec.name, spec.value || ""), { class: "rl-button rl-press", id });
    return { node: html("div", { class: "rl-control rl-pressed" }, node), first: node, show(now) { node.textContent = now.label; node.disabled = now.off; } };
  }
  if (spec.kind === "choice") {
    const select = html("select", { ...named, class: "rl-box" });
    select.addEventListener("change", () => done("set", spec.name, select.value));
    select.addEventListener("keydown", (event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      done("enter", spec.name);
    });
    return {
      node: html("div", { class: "rl-control" }, label, select, hint), first: select,
      show(now, late) {
        label.textContent = now.label;
        if (select.dataset.options !== now.choices.join("|")) {
          select.replaceChildren(...now.choices.map((choice) => html("option", { value: choice }, choice)));
          select.dataset.options = now.choices.join("|");
        }
        if (!late) select.value = now.text;
        hint.textContent = now.hint || "";
      },
    };
  }
  const lines = spec.kind === "lines";
  const box = html(lines ? "textarea" : "input", { ...named, class: "rl-box", ...(lines ? { rows: spec.rows } : { type: "text" }) });
  const commit = () => {
    if (!typing) return;
    typing = false;
    done("set", spec.name, box.value, of);
  };
  box.addEventListener("input", () => { typing = true; });
  box.addEventListener("change", commit);
  box.addEventListener("focus", () => { if (!lines) box.select(); });
  box.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.shiftKey) return;
    event.preventDefault();
    commit();
    done("enter", spec.name);
  });
  const slider = spec.kind === "number"
    ? html("input", { type: "range", "aria-label": `${spec.label}, slider`, min: spec.low, max: spec.high, step: spec.step }) : null;
  if (slider) {
    slider.addEventListener("input", () => {
      typing = false;
      done("set", spec.name, spec.choices ? spec.choices[+slider.value] : slider.value);
    });
    slider.addEventListener("keydown", (event) => { if (event.key === "Enter") done("enter", spec.name); });
  }
  return {
    node: html("div", { class: `rl-control rl-${spec.kind}` }, label, box, ...(slider ? [slider] : []), hint), first: box,
    show(now, late) {
      label.textContent = now.label;
      if (!typing) of = now.of;
      if (!typing && !late && box.value !== now.text) {
        box.value = now.text;
        if (!lines && document.activeElement === box) box.select(); // what is typed next takes its place
      }
      box.setAttribute("aria-invalid", String(now.bad));
      box.classList.toggle("rl-bad", now.bad);
      hint.textContent = now.hint || "";
      box.disabled = now.off === true;
      if (!slider) return;
      slider.disabled = box.disabled;
      slider.setAttribute("aria-valuetext", now.text);
      slider.max = now.high;
      slider.min = now.low;
      if (!late && now.number !== null) slider.value = now.number;
    },
  };
}

function render({ model, el }) {
  const id = newId();
  let acts = []; // not answered yet
  let number = 0;
  let dialog = null;
  const act = (what, name = "", value = "", of = undefined) => {
    const last = acts.at(-1);
    const page = model.get("page");
    const spec = page.controls.find((one) => one.name === name);
    if (what === "set" && last && last.what === what && last.name === name) acts.pop();
    number = Math.max(number, page.done) + 1;
    acts.push({ n: number, what, name, value, page: page.look, serial: page.serial, of: of ?? spec?.of ?? "" });
    root.dataset.waiting = "yes";
    answer.wait();
    model.set("acts", [...acts]);
    model.save_changes();
  };

  const sentence = html("div", { class: "rl-sentence", role: "status", "aria-live": "polite" });
  const house = html("div", { class: "rl-house" });
  const form = html("div", { class: "rl-controls" });
  const picture = html("div", { class: "rl-picture" });
  const note = html("div", { class: "rl-note" });
  const steps = html("div", { class: "rl-steps", role: "tablist", "aria-label": "Steps" });
  const next = button("Next", () => act("go", "", "next"), { class: "rl-button rl-next" });
  const undo = button("Undo", () => act("undo"));
  const fill = button("", () => toggle(), { class: "rl-button rl-fill" });
  const view = html("div", { class: "rl-view", role: "tabpanel", id: `${id}-v` }, html("div", { class: "rl-head" }, sentence, house), form, picture, note);
  const root = html("div", { class: "rl-meeting", role: "group", tabindex: "-1", [OWN_KEYS]: "true", "aria-label": model.get("page").label },
    view, html("div", { class: "rl-bar" }, steps, undo, next, fill));

  const answer = silence(root, sentence);

  // --- moving about

  let controls = [];
  const toFirst = () => (controls.length ? controls[0].first : picture.querySelector("[data-press]") || next).focus();
  const said = () => {
    fill.textContent = dialog ? "Leave (Esc)" : `Fill (${FILL})`;
    fill.title = dialog ? "Back into the page" : "Lay this view over the whole window";
    root.classList.toggle("rl-filled", dialog !== null);
  };
  const toggle = () => {
    if (dialog) { dialog.close(); return; }
    const active = root.contains(document.activeElement) && document.activeElement !== root && document.activeElement !== fill ? document.activeElement : null;
    dialog = fillWindow(root, model.get("page").label, () => { dialog = null; said(); });
    said();
    if (active) active.focus(); else toFirst();
  };
  root.addEventListener("keydown", (event) => {
    const go = { PageDown: "next", PageUp: "back" }[event.key];
    if (event.key === FILL) toggle();
    else if (go) act("go", "", go);
    else return;
    event.preventDefault();
  });
  const tabs = model.get("page").steps.map((label, i) => button(label, () => act("go", "", String(i)),
    { role: "tab", id: `${id}-s${i}`, "aria-controls": `${id}-v` }));
  steps.append(...tabs);
  steps.addEventListener("keydown", (event) => {
    const at = tabs.indexOf(document.activeElement);
    const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: tabs.length - 1 }[event.key];
    if (to === undefined || at < 0) return;
    event.preventDefault();
    tabs[(to + tabs.length) % tabs.length].focus();
  });
  picture.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-press]");
    if (pressed) act("press", pressed.dataset.press, pressed.dataset.value || "");
  });

  // --- showing

  const last = { form: null, picture: null, focus: 0, serial: -1 };
  const build = (page) => {
    controls = page.controls.map((spec, i) => control(spec, `${id}-${i}`, (what, name, value, of) => {
      if (what !== "enter") { act(what, name, value, of); return; }
      if (spec.enter) act("press", spec.enter);
      else if (controls[i + 1]) controls[i + 1].first.focus();
      else act("go", "", "next");
    }));
    form.replaceChildren(...controls.map((one) => one.node));
    form.dataset.count = controls.length;
  };
  const show = () => {
    const page = model.get("page");
    acts = acts.filter((one) => one.n > page.done);
    answer.heard();
    if (acts.length) answer.wait();
    const mine = root.contains(document.activeElement);
    const fresh = page.form !== last.form;
    if (fresh) build(page);
    page.controls.forEach((spec, i) => controls[i].show(spec, acts.some((one) => one.name === spec.name && one.what === "set")));
    if (sentence.textContent !== page.sentence) sentence.textContent = page.sentence;
    house.textContent = page.house;
    house.hidden = !page.house;
    house.classList.toggle("rl-trial", /trial/i.test(page.house));
    const shown = model.get("picture");
    if (shown !== last.picture) picture.innerHTML = last.picture = shown;
    for (const node of picture.querySelectorAll("button")) node.setAttribute(OWN_KEYS, "true");
    note.innerHTML = page.note;
    root.dataset.look = page.look;
    root.classList.toggle("rl-is-stale", page.stale);
    tabs.forEach((tab, i) => {
      tab.setAttribute("aria-selected", String(i === page.step));
      tab.tabIndex = i === page.step ? 0 : -1;
    });
    view.setAttribute("aria-labelledby", `${id}-s${page.step}`);
    undo.title = page.undo ? `Undo: ${page.undo}` : "Nothing to undo";
    next.textContent = page.next;
    next.hidden = !page.next;
    const pointed = page.focus.n > last.focus ? page.controls.findIndex((spec) => spec.name === page.focus.name) : -1;
    if (mine && pointed >= 0) controls[pointed].first.focus();
    else if (mine && fresh && last.form !== null) toFirst();
    last.focus = page.focus.n;
    last.form = page.form;
    root.dataset.serial = page.serial;
    root.dataset.waiting = acts.length ? "yes" : "no";
  };
  el.append(html("div", { class: "rl-place" }, root)); // its width sets the size of the letters
  said();
  model.on("change:page", show);
  show();
  if (model.get("page").fill) requestAnimationFrame(() => { if (!dialog) toggle(); });
  return () => {
    answer.heard();
    if (dialog) dialog.close();
    model.off("change:page", show);
  };
}

export default widget(render);

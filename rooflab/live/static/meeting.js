// The view for the table: one step at a time, at most four controls, the drawing, what stands beside it, large type.
// Python decides everything; this file shows `page`, `picture` and `beside` and reports what was done as `acts`.
// Acts are numbered, and each message carries all that are not answered yet: none is lost while Python is busy, and
// a late answer never moves a control back.  An act names the page, the thing and the state that it was meant for.

const FILL = "F8"; // lays the view over the whole window, from anywhere in the workbook; Esc brings it back
const SHARES = { png: "Copy the picture", svg: "Copy as SVG", pdf: "Save this page (PDF)", job: "Save the job file" };

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
  const box = html(lines ? "textarea" : "input", { ...named, class: "rl-box", ...(lines ? { rows: 1 } : { type: "text" }) });
  const grow = () => { // as high as its text, and never less than its place on the page
    if (!lines) return;
    box.style.height = "auto";
    box.style.height = `${box.scrollHeight}px`;
  };
  const commit = () => {
    if (!typing) return;
    typing = false;
    done("set", spec.name, box.value, of);
  };
  box.addEventListener("input", () => { typing = true; grow(); });
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
  const node = html("div", { class: `rl-control rl-${spec.kind}` }, label, box, ...(slider ? [slider] : []), hint);
  return {
    node, first: box, on: spec.on !== undefined, grow, typing: () => typing,
    show(now, late) {
      label.textContent = now.label;
      if (now.on) node.style.cssText = now.on;
      if (!typing) of = now.of;
      if (!typing && !late && box.value !== now.text) {
        box.value = now.text;
        if (!lines && document.activeElement === box) box.select(); // what is typed next takes its place
      }
      requestAnimationFrame(grow);
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
  const file = html("a", { class: "rl-file", target: "_blank", rel: "noopener" });
  const form = html("div", { class: "rl-controls" });
  const picture = html("div", { class: "rl-picture" });
  const spots = html("div", { class: "rl-spots", role: "group", "aria-label": "Numbers on the drawing" });
  const frame = html("div", { class: "rl-frame" }, picture, spots);
  const stage = html("div", { class: "rl-stage" }, frame);
  const beside = html("div", { class: "rl-beside" });
  const steps = html("div", { class: "rl-steps", role: "tablist", "aria-label": "Steps" });
  const next = button("Next", () => act("go", "", "next"), { class: "rl-button rl-next" });
  const undo = button("Undo", () => act("undo"));
  const menu = html("div", { class: "rl-shares", role: "group", "aria-label": "Share" }, ...Object.entries(SHARES).map(([kind, label]) =>
    button(label, () => { share(kind); openMenu(false); })));
  const shareButton = button("Share", () => openMenu(menu.hidden), { "aria-expanded": "false" });
  const openMenu = (open) => {
    menu.hidden = !open;
    shareButton.setAttribute("aria-expanded", String(open));
    if (open) menu.firstChild.focus(); else if (menu.contains(document.activeElement)) shareButton.focus();
  };
  menu.hidden = true;
  const fill = button("", () => toggle(), { class: "rl-button rl-fill" });
  const view = html("div", { class: "rl-view", role: "tabpanel", id: `${id}-v` }, html("div", { class: "rl-head" }, sentence, file, house), form,
    html("div", { class: "rl-body" }, stage, beside));
  const root = html("div", { class: "rl-meeting", role: "group", tabindex: "-1", [OWN_KEYS]: "true", "aria-label": model.get("page").label },
    view, html("div", { class: "rl-bar" }, steps, undo, html("div", { class: "rl-share" }, shareButton, menu), next, fill));

  const answer = silence(root, sentence);

  // --- moving about

  let controls = [];
  const toFirst = () => (controls.length ? controls[0].first : next).focus();
  const said = () => {
    fill.textContent = dialog ? "Leave" : `Fill (${FILL})`;
    fill.title = dialog ? "Back into the page (Esc)" : "Lay this view over the whole window";
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
    const back = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "z" && !controls.some((one) => one.typing?.() && one.first === event.target);
    if (event.key === "Escape" && !menu.hidden) { openMenu(false); event.stopPropagation(); }
    else if (go) act("go", "", go);
    else if (back) act("undo");
    else return;
    event.preventDefault();
  });
  const fromAnywhere = (event) => { // of several views of one workbook the first one that is shown
    if (event.key !== FILL || event.defaultPrevented || (el.isConnected && !el.offsetParent && !dialog)) return;
    event.preventDefault();
    toggle();
  };
  window.addEventListener("keydown", fromAnywhere, true);
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
  beside.addEventListener("click", (event) => {
    const [pressed, cell, field] = ["[data-press]", "[data-set]", "[data-point] svg"].map((one) => event.target.closest(one));
    if (pressed) act("press", pressed.dataset.press, pressed.dataset.value || "");
    else if (cell) act("press", "cell", cell.dataset.set);
    else if (field) { // a point of a map, in px of its frame
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(field.getScreenCTM().inverse());
      act("press", field.parentNode.dataset.point, `${Math.max(at.x, 0).toFixed(1)},${Math.max(at.y, 0).toFixed(1)}`);
    }
  });
  spots.addEventListener("click", (event) => {
    const spot = event.target.closest("[data-spot]");
    if (spot) act("touch", spot.dataset.spot);
  });

  // --- the sheet of paper: it comes nearer where something is typed

  const near = () => {
    const field = frame.classList.contains("rl-paper") && frame.contains(document.activeElement) ? document.activeElement.closest(".rl-control") : null;
    frame.style.transform = "none";
    for (const one of controls) one.grow?.();
    frame.classList.toggle("rl-near", Boolean(field));
    if (!field) return;
    const [letters, own] = [root, field].map((one) => parseFloat(getComputedStyle(one).fontSize));
    const z = letters / own;
    const middle = (at, size, room, from) => (z * size > room ? -z * at : room / 2 - z * (at + size / 2)) - from;
    const x = middle(field.offsetLeft, field.offsetWidth, stage.clientWidth, frame.offsetLeft);
    const y = middle(field.offsetTop, field.offsetHeight, stage.clientHeight, frame.offsetTop);
    frame.style.transform = `translate(${x}px, ${y}px) scale(${z})`;
    stage.scrollTo(0, 0);
  };
  frame.addEventListener("focusin", near);
  frame.addEventListener("focusout", (event) => { if (!frame.contains(event.relatedTarget)) near(); });

  // --- sharing

  const given = {}; // what waits for a file, by the way it is shared
  const saved = (blob, name) => {
    const link = html("a", { href: URL.createObjectURL(blob), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  };
  const share = (kind) => {
    const type = { png: "image/png", svg: "text/plain" }[kind];
    const came = new Promise((resolve) => { given[kind] = resolve; });
    act("share", "", kind);
    if (!type) { came.then(({ blob, name }) => saved(blob, name)); return; }
    const said = (words) => { sentence.textContent = words; };
    const copied = window.ClipboardItem && navigator.clipboard?.write
      ? navigator.clipboard.write([new ClipboardItem({ [type]: came.then(({ blob }) => new Blob([blob], { type })) })]) : Promise.reject();
    copied.then(() => said(`Copied as ${kind.toUpperCase()}: paste it where it is wanted.`), () => came.then(({ blob, name }) => {
      saved(blob, name);
      said(`The browser does not copy it; it is saved as ${name}.`);
    }));
  };
  const hear = (message, buffers) => {
    if (!message.share) return;
    const blob = new Blob([buffers[0]], { type: message.type });
    if (message.share !== "written") { // its sentence comes right after it
      const give = () => {
        model.off("change:page", give);
        given[message.share]?.({ blob, name: message.name });
      };
      model.on("change:page", give);
      return;
    }
    file.href = URL.createObjectURL(blob);
    file.textContent = `Open ${message.name}`;
  };
  model.on("msg:custom", hear);

  // --- showing

  const last = { form: null, picture: null, beside: null, spots: "", focus: 0, serial: -1 };
  const build = (page) => {
    controls = page.controls.map((spec, i) => control(spec, `${id}-${i}`, (what, name, value, of) => {
      if (what !== "enter") { act(what, name, value, of); return; }
      if (spec.enter) act("press", spec.enter);
      else if (controls[i + 1]) controls[i + 1].first.focus();
      else act("go", "", "next");
    }));
    form.replaceChildren(...controls.filter((one) => !one.on).map((one) => one.node));
    frame.replaceChildren(picture, spots, ...controls.filter((one) => one.on).map((one) => one.node));
    form.dataset.count = form.childElementCount;
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
    file.hidden = !page.sheet || !file.href;
    for (const [name, node] of Object.entries({ picture, beside })) {
      const shown = model.get(name);
      if (shown === last[name]) continue;
      const again = node.contains(document.activeElement) && [...node.querySelectorAll("button")].indexOf(document.activeElement);
      node.innerHTML = last[name] = shown;
      for (const one of node.querySelectorAll("button")) one.setAttribute(OWN_KEYS, "true");
      if (again !== false) node.querySelectorAll("button")[again]?.focus();
    }
    const [wide, tall] = page.frame;
    frame.style.setProperty("--wide", wide);
    frame.style.setProperty("--tall", tall);
    frame.classList.toggle("rl-paper", page.sheet);
    view.dataset.layout = page.sheet || !model.get("beside") ? "alone" : wide > tall * 6 ? "over" : "beside";
    stage.style.setProperty("--share", wide / page.room[0]);
    stage.style.setProperty("--high", tall / page.room[1]);
    if (JSON.stringify(page.touch) !== last.spots) {
      last.spots = JSON.stringify(page.touch);
      spots.replaceChildren(...page.touch.map((one) => html("button", { type: "button", class: "rl-spot", "data-spot": one.name, style: one.style, "aria-label": one.label })));
    }
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
    if (page.sheet) near();
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
    window.removeEventListener("keydown", fromAnywhere, true);
    model.off("msg:custom", hear);
    model.off("change:page", show);
  };
}

export default widget(render);

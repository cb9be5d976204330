// The room view: one slide at a time over the whole window.  Python says what a slide shows; this file shows it and
// reports keys and buttons.  Each report holds the last few, numbered, so that none is lost when they come quickly,
// each with the slide it was meant for.

const KEPT = 12;
const CHOICES = 4; // keys 1 to 4
const FILL = "F8"; // lays the view over the whole window, where it was; Esc brings the page back
const WIDE = 1024, TALL = 720; // px that a window has at least: a smaller one shows all of it smaller
const NOTES = "width=760,height=640,popup";
const NOTES_LOOK = "body { margin: 16px; font: 19px/27px sans-serif; color: #1a1a1a; background: #fff; } h1 { font-size: 21px; margin: 0 0 8px; } dl { display: grid; grid-template-columns: max-content 1fr; gap: 8px 16px; } dt { font-weight: bold; } dd { margin: 0; } button { font: inherit; margin: 0 6px 6px 0; padding: 2px 12px; }";
const NO_WINDOW = "The browser opened no second window: allow pop-up windows for this page.";

const arrow = (points) => {
  const span = html("span", { class: "rl-talk-arrow", "aria-hidden": "true" });
  span.innerHTML = `<svg viewBox="0 0 20 20"><polygon points="${points}" fill="currentColor"/></svg>`;
  return span;
};

function render({ model, el }) {
  const setup = model.get("setup");
  const slot = (name, attributes = {}) => html("div", { class: `rl-talk-${name}`, ...attributes });
  const parts = {
    prompt: html("h2", { class: "rl-talk-prompt" }), choices: slot("choices", { role: "group", "aria-label": "Choices" }),
    body: slot("body"), still: slot("still"), picture: slot("picture"),
    outcome: slot("outcome", { role: "status", "aria-live": "polite" }),
    notes: slot("notes", { role: "region", "aria-label": "Notes" }), progress: slot("progress"),
  };
  const bar = slot("bar", { role: "group", "aria-label": "Stops" });
  const told = html("div");
  const root = html("div", { class: "rl-talk", tabindex: "-1" }, parts.prompt, parts.choices,
    slot("stage"), parts.notes, bar);
  root.querySelector(".rl-talk-stage").append(parts.body, parts.still, parts.picture, parts.outcome);

  // --- what is pressed
  let acts = [...(model.get("message").acts || [])];
  let number = acts.length ? acts[acts.length - 1][0] : 0;
  let target = null; // the slide asked for and not yet shown
  const send = (what, value = "") => {
    acts = [...acts, [++number, what, String(value), model.get("slide").at]].slice(-KEPT);
    model.set("message", { acts });
    model.save_changes();
  };
  const go = (step) => {
    const slide = model.get("slide");
    target = Math.min(Math.max((target ?? slide.at) + step, 0), slide.last);
    send("go", target);
  };
  let notes = false;
  let began = 0; // when the window was first filled
  const turnNotes = () => { notes = !notes; show(); };
  const named = (text, act, name, attributes = {}) => button(text, act, { "data-do": name, ...attributes });
  const moves = () => ({
    back: named(arrow("16,2 4,10 16,18"), () => go(-1), "back", { "aria-label": "Back" }),
    next: named(arrow("4,2 16,10 4,18"), () => go(1), "next", { "aria-label": "Next" }),
    show: named("Reveal (R)", () => send("show"), "show"),
    again: named("Again (A)", () => send("again"), "again"),
  });
  const buttons = {
    ...moves(),
    notes: named("Notes (N)", turnNotes, "notes"),
    leave: named("Leave (Esc)", () => dialog && dialog.close(), "leave", { title: `${FILL} opens it again where it was` }),
    window: named("Second window (W)", () => openNotes(), "window"),
    house: named("House of the file (H)", () => send("house", model.get("slide").own_house ? "no" : "yes"), "house"),
  };
  bar.append(buttons.back, buttons.next, buttons.show, buttons.again, buttons.notes, buttons.leave, parts.progress,
    html("span", { class: "rl-talk-caution" }, setup.caution));
  parts.notes.append(told, buttons.window, buttons.house);

  const keys = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const { key, target: on } = event;
    const typing = on.matches("input[type=text]");
    const act = {
      PageDown: () => go(1), PageUp: () => go(-1), [FILL]: () => dialog && dialog.close(),
      ...(!typing && !on.matches("input[type=range]") && { ArrowRight: () => go(1), ArrowLeft: () => go(-1) }),
      ...(!typing && { r: () => buttons.show.click(), a: () => buttons.again.click(), n: turnNotes, w: openNotes, h: () => buttons.house.click() }),
      ...(typing && { Escape: () => root.focus() }),
    }[key.length === 1 ? key.toLowerCase() : key];
    const choice = !typing && /^[1-9]$/.test(key) ? Number(key) : 0;
    if (choice && choice <= CHOICES) parts.choices.querySelectorAll("button")[choice - 1]?.click();
    else if (act) act();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  // --- the presenter's window: it follows the slides, takes the same keys, and is this page's own
  let second = null;
  let desk = null; // its buttons
  const openNotes = () => {
    if (second && !second.closed) { second.focus(); return; }
    second = window.open("", newId(), NOTES);
    if (!second) {
      parts.outcome.hidden = false;
      parts.outcome.textContent = NO_WINDOW;
      return;
    }
    desk = moves();
    for (const name of ["back", "next"]) desk[name].replaceChildren(desk[name].getAttribute("aria-label"));
    second.document.title = `Notes: ${setup.title}`;
    second.document.documentElement.lang = "en";
    second.document.head.append(html("style", {}, NOTES_LOOK));
    second.document.body.append(html("h1"), html("p"), html("dl"), html("div", {}, ...Object.values(desk)));
    second.document.addEventListener("keydown", keys);
    showNotes();
  };
  const showNotes = () => {
    if (!second || second.closed) return;
    const slide = model.get("slide");
    const [head, time, list] = second.document.body.children;
    head.textContent = [setup.title, slide.progress].filter(Boolean).join(" \u00b7 ");
    time.textContent = `${slide.takes} min for this slide. ${clock()}`;
    list.replaceChildren(...slide.script.flatMap(([name, text]) => [html("dt", {}, name), html("dd", {}, text)]));
    for (const name of Object.keys(desk)) desk[name].disabled = buttons[name].disabled;
  };

  // --- what is shown
  const whole = (text) => text.replace(/(\d) (?=\d+\/\d|in 12)|(in) (?=12\b)/g, "$1$2\u00a0"); // a fraction, a pitch in one line
  const drawChoices = (slide) => {
    parts.choices.replaceChildren(...(slide.choices || []).map((text, i) => {
      const pick = named("", () => send("choose", i), "choose");
      pick.append(html("span", { class: "rl-talk-key" }, `${i + 1}`), html("span", {}, whole(text)), html("span", { class: "rl-talk-mark" }));
      const hands = html("input", { type: "text", inputmode: "numeric", placeholder: "hands", maxlength: "4", autocomplete: "off", "aria-label": `Hands for ${i + 1}: ${text}` });
      hands.addEventListener("change", () => send("count", `${i}:${hands.value}`));
      hands.addEventListener("keydown", (event) => { if (event.key === "Enter") root.focus(); });
      const choice = html("div", { class: "rl-talk-choice" }, pick, hands, html("div", { class: "rl-talk-share", role: "img" }));
      choice.style.flexGrow = Math.max(text.length, 16) + 24; // a longer text gets more room
      return choice;
    }));
  };
  const showChoices = (slide) => [...parts.choices.children].forEach((choice, i) => {
    const [pick, hands, share] = choice.children;
    const [key, , mark] = pick.children;
    pick.setAttribute("aria-pressed", String(slide.chosen === i));
    choice.classList.toggle("rl-talk-right", slide.right === i);
    key.textContent = slide.right === i ? "\u2713" : i + 1;
    mark.textContent = [slide.chosen === i ? "chosen" : "", slide.right === i ? "it is" : ""].filter(Boolean).join(", ");
    if (document.activeElement !== hands) hands.value = slide.counts[i];
    hands.setAttribute("aria-invalid", String(slide.bad[i]));
    share.style.width = `${slide.bars[i]}%`;
    share.setAttribute("aria-label", slide.shares[i] || "no hands counted");
  });
  const clock = () => {
    const used = began ? Math.floor((Date.now() - began) / 60000) : 0;
    return `Used ${used} of ${model.get("slide").planned} min, ${setup.minutes} in all. `;
  };
  let drawn = "";
  const show = () => {
    const slide = model.get("slide");
    if (slide.at === target) target = null;
    root.dataset.at = slide.at;
    root.dataset.kind = slide.kind;
    root.dataset.stage = slide.stage;
    root.dataset.turn = number;
    for (const [name, px] of Object.entries(slide.sizes)) root.style.setProperty(`--rl-${name}`, `${px}px`);
    parts.progress.textContent = slide.progress;
    parts.prompt.textContent = whole(slide.prompt);
    const moved = drawn !== `${slide.at} ${slide.prompt}`;
    if (moved) drawChoices(slide);
    drawn = `${slide.at} ${slide.prompt}`;
    showChoices(slide);
    parts.body.innerHTML = slide.body || "";
    const stop = slide.kind === "stop";
    if (parts.still.dataset.of !== (slide.picture || "")) parts.still.innerHTML = slide.picture || "";
    parts.still.dataset.of = slide.picture || "";
    const outcome = slide.outcome || slide.hint || "";
    if (parts.outcome.innerHTML !== outcome) parts.outcome.innerHTML = outcome;
    if (slide.refusal) parts.outcome.textContent = slide.refusal;
    parts.notes.hidden = !notes;
    told.textContent = notes ? clock() + slide.notes : "";
    for (const name of ["choices", "picture"]) parts[name].hidden = !stop;
    for (const name of ["body", "still"]) parts[name].hidden = stop;
    parts.prompt.hidden = !slide.prompt;
    parts.outcome.hidden = !stop && !slide.refusal;
    const revealed = stop && slide.right >= 0;
    buttons.back.disabled = slide.at === 0;
    buttons.next.disabled = slide.at === slide.last;
    buttons.show.disabled = buttons.again.disabled = !stop;
    buttons.show.hidden = !stop || revealed;
    buttons.again.hidden = !revealed;
    bar.querySelector(".rl-talk-caution").hidden = slide.kind === "first"; // one sentence, one picture
    buttons.house.hidden = !slide.house;
    buttons.house.setAttribute("aria-pressed", String(slide.own_house));
    buttons.notes.setAttribute("aria-pressed", String(notes));
    if (moved && dialog && !root.contains(document.activeElement)) root.focus();
    if (moved && dialog && parts.picture.contains(document.activeElement)) root.focus();
    showNotes();
  };

  // --- the slide's picture: the panel's own view
  let view = null;
  let wanted = "";
  const showPanel = async () => {
    const reference = model.get("panel");
    const id = typeof reference === "string" ? reference.replace("IPY_MODEL_", "") : "";
    if (id === wanted) return;
    wanted = id;
    if (view) { view.remove(); view = null; }
    parts.picture.replaceChildren();
    if (!id) return;
    const child = await model.widget_manager.get_model(id);
    const made = await model.widget_manager.create_view(child);
    if (id !== wanted) { made.remove(); return; }
    view = made;
    parts.picture.replaceChildren(view.el);
  };

  // --- the window
  let dialog = null;
  let sized = "";
  const fitWindow = () => {
    if (!dialog) return;
    const zoom = Math.min(innerWidth / WIDE, innerHeight / TALL);
    const [wide, tall] = [innerWidth, innerHeight].map((px) => Math.floor(px / zoom));
    Object.assign(root.style, { zoom, width: `${wide}px`, height: `${tall}px` });
    if (sized !== `${wide}x${tall}`) send("size", sized = `${wide}x${tall}`);
  };
  window.addEventListener("resize", fitWindow);
  const enter = () => {
    if (dialog) return;
    began = began || Date.now();
    dialog = fillWindow(root, `Room view: ${setup.title}`, () => { dialog = null; });
    fitWindow();
    dialog.addEventListener("keydown", keys, true);
    root.focus();
  };
  const reopen = (event) => {
    if (event.key !== FILL || dialog || document.querySelector("dialog[open]") || !el.isConnected) return;
    event.preventDefault();
    event.stopPropagation();
    enter();
  };
  document.addEventListener("keydown", reopen, true);
  const open = named(`Fill the window (${FILL})`, enter, "enter");
  const shelf = html("div", { hidden: "" }, root);
  el.append(html("div", { class: "rl-talk-door" }, html("b", {}, `Room view: ${setup.title}`), ` (${setup.summary}). It opens where you left it. `, open), shelf);

  const timer = setInterval(() => { if (notes || second) show(); }, 15000);
  model.on("change:slide", show);
  model.on("change:panel", showPanel);
  show();
  showPanel();
  if (setup.fill) requestAnimationFrame(enter);
  return () => {
    clearInterval(timer);
    window.removeEventListener("resize", fitWindow);
    document.removeEventListener("keydown", reopen, true);
    model.off("change:slide", show);
    model.off("change:panel", showPanel);
    if (view) view.remove();
    if (second) second.close();
    if (dialog) dialog.close();
  };
}

export default widget(render);

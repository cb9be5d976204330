// The room view: one slide at a time over the whole window.  Python says what a slide shows; this file shows it and
// reports keys and buttons.  Each report holds the last few, numbered, so that none is lost when they come quickly,
// each with the slide it was meant for.

const KEPT = 12;
const CHOICES = 4; // keys 1 to 4
const WIDE = 1280, TALL = 720; // px, as talk.css has them: the window shows them larger or smaller

function render({ model, el }) {
  const setup = model.get("setup");
  const slot = (name, attributes = {}) => html("div", { class: `rl-talk-${name}`, ...attributes });
  const parts = {
    title: html("h1", { class: "rl-talk-title" }), progress: slot("progress"), prompt: html("h2", { class: "rl-talk-prompt" }),
    choices: slot("choices", { role: "group", "aria-label": "Choices" }), body: slot("body"), picture: slot("picture"),
    outcome: slot("outcome", { role: "status", "aria-live": "polite" }), notes: slot("notes"),
  };
  const bar = slot("bar", { role: "group", "aria-label": "Stops" });
  const root = html("div", { class: "rl-talk", tabindex: "-1" },
    html("div", { class: "rl-talk-head" }, parts.title, parts.progress), parts.prompt, parts.choices, parts.body,
    parts.picture, parts.outcome, parts.notes, bar);

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
  const named = (text, act, name) => button(text, act, { "data-do": name });
  const buttons = {
    back: named("Back", () => go(-1), "back"),
    next: named("Next", () => go(1), "next"),
    show: named("Reveal (R)", () => send("show"), "show"),
    again: named("Again (A)", () => send("again"), "again"),
    notes: named("Notes (N)", turnNotes, "notes"),
    house: named("House (H)", () => send("house", model.get("slide").own_house ? "no" : "yes"), "house"),
    leave: named("Leave (Esc)", () => dialog && dialog.close(), "leave"),
  };
  bar.append(...Object.values(buttons), html("span", { class: "rl-talk-caution" }, setup.caution));

  const keys = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const { key, target: on } = event;
    const typing = on.matches("input[type=text]");
    const act = {
      PageDown: () => go(1), PageUp: () => go(-1),
      ...(!typing && !on.matches("input[type=range]") && { ArrowRight: () => go(1), ArrowLeft: () => go(-1) }),
      ...(!typing && { r: buttons.show.onclick ?? (() => buttons.show.click()), a: () => buttons.again.click(), n: turnNotes, h: () => buttons.house.click() }),
      ...(typing && { Escape: () => root.focus() }),
    }[key.length === 1 ? key.toLowerCase() : key];
    const choice = !typing && /^[1-9]$/.test(key) ? Number(key) : 0;
    if (choice && choice <= CHOICES) parts.choices.querySelectorAll("button")[choice - 1]?.click();
    else if (act) act();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };

  // --- what is shown
  const whole = (text) => text.replace(/(\d) (?=\d+\/\d)/g, "$1\u00a0"); // a number and its fraction in one line
  const drawChoices = (slide) => {
    parts.choices.replaceChildren(...(slide.choices || []).map((text, i) => {
      const pick = named("", () => send("choose", i), "choose");
      pick.append(html("span", { class: "rl-talk-key" }, `${i + 1}`), html("span", {}, whole(text)), html("b", { class: "rl-talk-mark" }));
      const hands = html("input", { type: "text", inputmode: "numeric", maxlength: "4", autocomplete: "off", "aria-label": `Hands for ${i + 1}: ${text}` });
      hands.value = slide.counts[i];
      hands.addEventListener("change", () => send("count", `${i}:${hands.value}`));
      hands.addEventListener("keydown", (event) => { if (event.key === "Enter") root.focus(); });
      const choice = html("div", { class: "rl-talk-choice" }, pick, hands);
      choice.style.flexGrow = Math.max(text.length, 16) + 24; // a longer text gets more room
      return choice;
    }));
  };
  const clock = () => {
    const used = began ? Math.floor((Date.now() - began) / 60000) : 0;
    return `Used ${used} of ${model.get("slide").planned} min. `;
  };
  let drawn = "";
  const show = () => {
    const slide = model.get("slide");
    if (slide.at === target) target = null;
    root.dataset.at = slide.at;
    root.dataset.kind = slide.kind;
    root.dataset.turn = number;
    parts.title.textContent = slide.title;
    parts.progress.textContent = slide.progress;
    parts.prompt.textContent = whole(slide.prompt);
    const moved = drawn !== `${slide.at} ${slide.prompt}`;
    const emptied = (slide.counts || []).every((text) => !text);
    if (moved || emptied) drawChoices(slide);
    drawn = `${slide.at} ${slide.prompt}`;
    parts.body.innerHTML = slide.body || "";
    [...parts.choices.children].forEach((choice, i) => {
      const pick = choice.querySelector("button");
      pick.setAttribute("aria-pressed", String(slide.chosen === i));
      choice.classList.toggle("rl-talk-right", slide.right === i);
      const marks = [slide.chosen === i ? "chosen" : "", slide.right === i ? "it is" : ""];
      pick.querySelector(".rl-talk-mark").textContent = marks.filter(Boolean).join(", ");
    });
    const outcome = slide.outcome || slide.hint || "";
    if (parts.outcome.innerHTML !== outcome) parts.outcome.innerHTML = outcome;
    if (slide.refusal) parts.outcome.textContent = slide.refusal;
    parts.notes.textContent = notes ? clock() + slide.notes : "";
    const stop = slide.kind === "stop";
    for (const name of ["choices", "picture"]) parts[name].hidden = !stop;
    parts.outcome.hidden = !stop && !slide.refusal;
    parts.body.hidden = stop;
    buttons.back.disabled = slide.at === 0;
    buttons.next.disabled = slide.at === slide.last;
    buttons.show.disabled = buttons.again.disabled = !stop;
    buttons.house.hidden = !slide.house;
    buttons.house.setAttribute("aria-pressed", String(slide.own_house));
    buttons.notes.setAttribute("aria-pressed", String(notes));
    if (moved && dialog && !root.contains(document.activeElement)) root.focus();
    if (moved && dialog && parts.picture.contains(document.activeElement)) root.focus();
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
  const fitWindow = () => { root.style.zoom = Math.min(innerWidth / WIDE, innerHeight / TALL); };
  window.addEventListener("resize", fitWindow);
  const enter = () => {
    if (dialog) return;
    began = began || Date.now();
    dialog = fillWindow(root, `Room view: ${setup.title}`, () => { dialog = null; });
    fitWindow();
    dialog.addEventListener("keydown", keys, true);
    root.focus();
  };
  const open = named("Fill the window", enter, "enter");
  const shelf = html("div", { hidden: "" }, root);
  el.append(html("div", { class: "rl-talk-door" }, html("b", {}, `Room view: ${setup.title}`), ` (${setup.summary}) `, open), shelf);

  const timer = setInterval(() => { if (notes) parts.notes.textContent = clock() + model.get("slide").notes; }, 15000);
  model.on("change:slide", show);
  model.on("change:panel", showPanel);
  show();
  showPanel();
  if (setup.fill) requestAnimationFrame(enter);
  return () => {
    clearInterval(timer);
    window.removeEventListener("resize", fitWindow);
    model.off("change:slide", show);
    model.off("change:panel", showPanel);
    if (view) view.remove();
    if (dialog) dialog.close();
  };
}

export default widget(render);

// What every widget uses: nodes with attributes, keys that stay on the page, what is pressed, words where no answer
// comes, a node that fills the window.  `widgets/base.py` puts this file before a widget's own; there is no build step.

const OWN_KEYS = "data-lm-suppress-shortcuts"; // JupyterLab's shortcuts stay away: "b" on a slider would insert a cell

const html = (tag, attributes = {}, ...children) => {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  if (["input", "button", "select", "textarea"].includes(tag)) node.setAttribute(OWN_KEYS, "true");
  node.append(...children);
  return node;
};

const button = (text, act, attributes = {}) => {
  const node = html("button", { type: "button", class: "rl-button", ...attributes }, text);
  node.addEventListener("click", act);
  return node;
};

// The letters' face: the page asks Python for it once, two small files, and shows them in the same letters as pictures
// and paper.  Until it is there, and where it may not be loaded, the next of `FACES` stands in.
const FACE_LOADED = "rl-face"; // an event of the window: what was fitted to its room is fitted again
document.documentElement.style.setProperty("--rl-faces", FACES);
function loadFace(model) {
  const [family] = FACES.split(",");
  const here = () => [...document.fonts].some((one) => one.family.replaceAll('"', "") === family);
  if (here()) return;
  model.on("msg:custom", async (message, buffers) => {
    if (message.face !== family || here()) return;
    const fonts = message.weights.map((weight, i) => new FontFace(family, buffers[i], { weight }));
    for (const font of fonts) document.fonts.add(font);
    await Promise.allSettled(fonts.map((font) => font.load()));
    window.dispatchEvent(new Event(FACE_LOADED));
  });
  model.send({ face: family });
}

// A notebook is saved with still pictures alone: another day knows no model of a live one.  The live one's id stands
// beside, so that a page opened while this kernel runs can find it again.
const VIEW = "application/vnd.jupyter.widget-view+json";
const still = (output) => {
  const { [VIEW]: view, ...data } = output.data || {};
  return view && output.metadata && output.metadata.rooflab ? { ...output, data, metadata: { ...output.metadata, rooflab: view } } : output;
};
function saveStill(model) {
  const book = model.widget_manager?.context?.model;
  if (!book?.toJSON || book.rooflabStill) return;
  const whole = book.toJSON.bind(book);
  book.rooflabStill = true;
  book.toJSON = () => {
    const content = whole();
    return { ...content, cells: content.cells.map((cell) => (cell.outputs ? { ...cell, outputs: cell.outputs.map(still) } : cell)) };
  };
}

// A widget's module: `render` as its file has it, in the face.
const widget = (render) => ({
  render(given) {
    loadFace(given.model);
    saveStill(given.model);
    return render(given);
  },
});

const newId = () => `rl-${Math.random().toString(36).slice(2)}`;

// What was pressed goes to Python in `message`, numbered: the same button counts twice.  Python says in `turn` what it
// has answered; where that does not come, a line over `below` says so.
const waiting = new WeakMap(); // what waits for an answer, by its root
const press = (model, pressed, root, below) => {
  if (!waiting.has(root)) {
    const line = html("div", { class: "rl-silent", role: "status", "aria-live": "polite" });
    const answer = silence(root, line);
    below.before(line);
    waiting.set(root, answer);
    model.on("change:turn", () => {
      answer.heard();
      line.textContent = "";
      root.classList.remove("rl-is-stale");
    });
  }
  waiting.get(root).wait();
  model.set("message", { ...pressed, turn: (model.get("message").turn || 0) + 1 });
  model.save_changes();
};

// Where a message gets no answer for a while, `sentence` says so, `root` is marked, and `said` is called.
const SILENCE = 3000; // ms
const NO_ANSWER = "No answer from the kernel: what is shown is old. Start it again (menu Kernel) and run the cells.";
function silence(root, sentence, said = () => {}) {
  let timer = 0;
  return {
    wait() {
      timer = timer || setTimeout(() => {
        sentence.textContent = NO_ANSWER;
        root.classList.add("rl-is-stale");
        said();
      }, SILENCE);
    },
    heard() {
      clearTimeout(timer);
      timer = 0;
    },
  };
}

// Lay `node` over the whole window, above JupyterLab.  The dialog that comes back is left by its close() or by Esc:
// then the node stands where it stood, `left` is called, and the focus is where it was.
function fillWindow(node, label, left = () => {}) {
  const place = document.createComment("");
  node.replaceWith(place);
  const dialog = html("dialog", { "aria-label": label, tabindex: "-1", [OWN_KEYS]: "true" }, node);
  dialog.style.cssText = "position: fixed; inset: 0; width: 100vw; height: 100vh; max-width: none; max-height: none; "
    + "margin: 0; padding: 0; border: none; outline: none; overflow: hidden; background: #fff; color: #1a1a1a; color-scheme: light";
  dialog.addEventListener("close", () => {
    place.replaceWith(node);
    dialog.remove();
    left();
  });
  document.body.append(dialog);
  dialog.showModal();
  dialog.focus();
  return dialog;
}

// A plugin for JupyterLab, loaded by `python3 -m rooflab` alone.  A workbook of ours runs by itself when it is opened, is
// shown as a page to read, says whether it is alive, and is safe from stray keys; other notebooks are left alone.
// Written by hand, in the form that JupyterLab's own tools write: a container with `init` and `get`.
(() => {
  const VIEW = "application/vnd.jupyter.widget-view+json";
  const RUNS = ["notebook:run-all-cells", "notebook:restart-run-all", "runmenu:run-all", "runmenu:restart-and-run-all"];
  const LIVE = "Live: move a slider, or type a number.";
  const STARTING = "Starting the pictures ...";
  const STILL = "Not running: menu Run > Run All Cells.";
  const ELSEWHERE = "Open in another tab: go on there, or choose Run > Run All Cells here.";
  const NO_KERNEL = "Nothing was done: the kernel does not answer. Menu Kernel > Restart Kernel, then once more.";
  const ENDED = ["dead", "restarting", "autorestarting", "terminating"]; // what a kernel is when it knows nothing (any more)
  const LINK = "rendermime:handle-local-link"; // JupyterLab's command behind a link to another file
  const STEADY = Array.from({ length: 17 }, (_, turn) => turn * 250); // ms
  const READS = ["ArrowUp", "ArrowDown", "PageUp", "PageDown", "Home", "End", "Tab", "Escape", "F1", "F2", "F5", "F11", "F12"];
  const STYLE = `
.rl-reading .jp-NotebookPanel-toolbar > :not(.rl-strip), .rl-reading .jp-InputPlaceholder, .rl-reading .jp-InputPrompt,
.rl-reading .jp-OutputPrompt, .rl-reading .jp-OutputArea-promptOverlay, .rl-reading .jp-Collapser, .rl-reading .jp-cell-toolbar, .rl-reading .jp-cell-menu,
.rl-reading .jp-Notebook-footer { display: none !important; }
.rl-reading .jp-Notebook .jp-Cell { border-color: transparent; }
.rl-reading .jp-Notebook .jp-CodeCell.jp-mod-noOutputs:has(.jp-InputPlaceholder) { height: 0; min-height: 0; padding: 0; overflow: hidden; }
.rl-reading .jp-Notebook .jp-RenderedMarkdown h1 { font-size: 24px; margin: 0 0 4px; }
.rl-reading .jp-Notebook .jp-RenderedMarkdown p { margin-bottom: 6px; }
.rl-reading .jp-Notebook .jp-Cell { padding-top: 2px; padding-bottom: 2px; }
.rl-strip { display: flex; flex: 1 1 auto; align-items: center; gap: 12px; padding: 0 8px; font: 14px/1.4 var(--rl-faces, sans-serif); }
.rl-strip > span { flex: 1; }
.rl-strip > span::before { content: "\\25CB\\00A0"; }
.rl-strip[data-state="live"] > span::before { content: "\\25CF\\00A0"; }
.rl-strip button { font: inherit; min-height: 24px; padding: 2px 10px; cursor: pointer; }`;

  const pages = new WeakMap(); // what is known of each workbook's page: whether it runs, the strip, the code shown, its place
  let led = {}; // the file and the heading that the last link leads to, until its page is there
  const pause = (ms) => new Promise((done) => setTimeout(done, ms));
  const node = (tag, text, attributes = {}) => {
    const made = Object.assign(document.createElement(tag), { textContent: text });
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    return made;
  };
  const isNotebook = (panel) => Boolean(panel && panel.sessionContext && panel.content && panel.content.scrollToItem);
  const isOurs = (panel) => Boolean(panel.content.model.getMetadata("rooflab"));
  const codeCells = (panel) => [...panel.content.model.cells].filter((cell) => cell.type === "code");
  const trusted = (panel) => codeCells(panel).every((cell) => cell.trusted);
  const kernelOf = (panel) => panel.sessionContext.session && panel.sessionContext.session.kernel;

  // --- alive, or not

  const say = (panel, words) => {
    const page = pages.get(panel);
    page.strip.firstChild.textContent = [words, page.note].filter(Boolean).join(" ");
    page.strip.dataset.state = words === LIVE ? "live" : "still";
  };

  // The live pictures that a kernel holds, by their ids.
  const living = async (panel) => {
    const answer = await kernelOf(panel).requestCommInfo({ target_name: "jupyter.widget" });
    return new Set(Object.keys(answer.content.comms || {}));
  };

  // A view whose model lives is shown, also one that a saved file holds beside its still picture; of any other the
  // still picture stands.  The number shown.
  const attach = (panel, known) => {
    let shown = 0;
    for (const cell of codeCells(panel)) {
      for (let at = 0; at < cell.outputs.length; at += 1) {
        const output = cell.outputs.get(at).toJSON();
        if (!output.data || !output.metadata || !("rooflab" in output.metadata)) continue;
        const view = output.data[VIEW] || output.metadata.rooflab;
        const { [VIEW]: _, ...still } = output.data;
        const lives = known.has(view.model_id);
        if (lives) shown += 1;
        if (lives !== VIEW in output.data) cell.outputs.set(at, { ...output, data: lives ? { ...still, [VIEW]: view } : still });
      }
    }
    return shown;
  };

  // To the heading that a link led to, else to the top, and to stay there while the page takes shape.  Called again when
  // it has run: above the heading the pictures grow only then.
  const settleAt = (panel) => {
    const notebook = panel.content, page = pages.get(panel), place = page.place;
    let left = false; // the reader has begun to scroll or type
    const leave = () => { left = true; page.place = ""; };
    for (const name of ["wheel", "pointerdown", "keydown"]) notebook.node.addEventListener(name, leave, { once: true });
    for (const wait of place ? STEADY : [0, 150, 500]) { // ms: JupyterLab scrolls to its cell a little later
      setTimeout(() => {
        if (left || panel.isDisposed) return;
        if (place) {
          notebook.setFragment(place);
          return;
        }
        notebook.activeCellIndex = 0;
        notebook.deselectAll();
        notebook.scrollToItem(0, "start");
      }, wait);
    }
  };

  // The heading of a page that the last link leads to, once; "" for none.
  const ledTo = (panel) => {
    const { path, id } = led;
    if (path !== panel.context.path) return "";
    led = {};
    return decodeURIComponent(id || ""); // as it stands in the address
  };

  // A link to a page that is open already leads to its heading at once; one that opens waits until it has run.
  const follow = async (link, opened, here) => {
    led = link;
    await opened.catch(() => {});
    const panel = here();
    if (!panel) return;
    pages.get(panel).place = ledTo(panel);
    if (pages.get(panel).place) settleAt(panel);
  };

  const run = async (app, panel) => {
    while (app.shell.currentWidget !== panel) { // commands run what is in front
      if (panel.isDisposed) return;
      await pause(100);
    }
    await app.commands.execute("notebook:run-all-cells");
  };

  // Run a workbook that was opened, once: a kernel that holds live pictures is another tab's, or this page's before.
  const wake = async (app, panel) => {
    say(panel, STARTING);
    await panel.sessionContext.ready;
    while (!kernelOf(panel)) {
      if (panel.isDisposed) return;
      await pause(100);
    }
    let known = await living(panel);
    if (!known.size && trusted(panel)) {
      attach(panel, known);
      await run(app, panel);
      return;
    }
    for (let turn = 0; known.size && turn < 20 && !panel.isDisposed; turn += 1) { // the other tab saves when it has run
      if (attach(panel, known)) {
        say(panel, LIVE);
        if (pages.get(panel).place) settleAt(panel);
        return;
      }
      await pause(500);
      await panel.context.revert();
      known = await living(panel);
    }
    attach(panel, known);
    say(panel, known.size ? ELSEWHERE : STILL);
  };

  // --- begun anew

  // What a function of `rooflab.start.kernel` says that was called in the kernel; null where it gives no answer.
  const ask = async (panel, name) => {
    const said = `__import__("rooflab.start.kernel", fromlist=["_"]).${name}()`;
    const kernel = kernelOf(panel);
    if (!kernel || kernel.status === "dead") return null;
    const answer = kernel.requestExecute({ code: "", silent: true, store_history: false, user_expressions: { said } }).done;
    const reply = await Promise.race([answer, pause(20000)]);
    const result = reply && reply.content.user_expressions && reply.content.user_expressions.said;
    return result && result.data ? result.data["text/plain"].replace(/^['"]|['"]$/g, "") : null;
  };

  const again = async (app, panel, name) => {
    await panel.context.save();
    const note = await ask(panel, name);
    pages.get(panel).note = note || NO_KERNEL;
    if (note === null) {
      say(panel, STILL);
      return;
    }
    if (name === "fresh_copy") await panel.context.revert();
    await kernelOf(panel).restart();
    await run(app, panel);
  };

  // --- a page to read

  // Code of the lessons is folded; to see it is to unfold all that was, and again to fold it.
  const showCode = (panel, shown) => {
    const page = pages.get(panel);
    if (shown) page.folded = panel.content.widgets.filter((cell) => cell.model.type === "code" && cell.inputHidden);
    for (const cell of page.folded) cell.inputHidden = !shown;
    panel.node.classList.toggle("rl-reading", !shown);
    page.strip.querySelector("button").textContent = shown ? "Hide the code (F2)" : "Show the code (F2)";
    page.strip.querySelector("button").setAttribute("aria-pressed", String(shown));
  };

  // A key that would change a cell does nothing, nor does a double click; fields and buttons of our own have their keys.
  const guard = (app) => {
    const reader = (event) => {
      const panel = app.shell.currentWidget;
      const inside = panel && panel.content && pages.has(panel) && panel.node.classList.contains("rl-reading");
      const target = event.target instanceof Element ? event.target : document.body;
      return inside && panel.content.node.contains(target) && !target.closest("[data-lm-suppress-shortcuts], .jp-Editor, input, textarea, select");
    };
    const stop = (event) => { if (reader(event)) event.stopImmediatePropagation(); };
    window.addEventListener("dblclick", stop, true);
    window.addEventListener("paste", stop, true);
    window.addEventListener("keydown", (event) => {
      const known = READS.includes(event.key) || event.ctrlKey || event.metaKey || (event.shiftKey && event.key === "Enter");
      if (!known || event.altKey || (event.shiftKey && event.ctrlKey)) stop(event);
    }, true);
  };

  const open = (app, panel) => {
    const strip = node("div", "", { class: "rl-strip" });
    const code = node("button", "Show the code (F2)", { type: "button", "aria-pressed": "false" });
    code.addEventListener("click", () => app.commands.execute("rooflab:code"));
    strip.append(node("span", "", { role: "status" }), code);
    panel.toolbar.node.append(strip);
    panel.node.classList.add("rl-reading");
    pages.set(panel, { strip, folded: [], place: ledTo(panel) });
    const ended = () => say(panel, STILL);
    panel.sessionContext.statusChanged.connect((_, status) => { if (ENDED.includes(status) || (status === "starting" && pages.get(panel).ran)) ended(); });
    panel.sessionContext.kernelChanged.connect((_, change) => { if (change.oldValue) ended(); });
    wake(app, panel).catch(() => { if (!panel.isDisposed) say(panel, STILL); });
  };

  const look = async (app) => {
    const panel = app.shell.currentWidget;
    if (!isNotebook(panel) || pages.has(panel)) return;
    await panel.context.ready;
    if (!panel.isDisposed && !pages.has(panel) && isOurs(panel)) open(app, panel);
  };

  const activate = (app) => {
    document.head.append(node("style", STYLE));
    guard(app);
    const here = () => (pages.has(app.shell.currentWidget) ? app.shell.currentWidget : null);
    const command = (id, label, execute) => app.commands.addCommand(id, { label, isEnabled: () => here() !== null, execute: () => execute(here()) });
    command("rooflab:code", "Show or Hide the Code", (panel) => showCode(panel, panel.node.classList.contains("rl-reading")));
    command("rooflab:run", "Run the Workbook", (panel) => run(app, panel));
    command("rooflab:anew", "Begin Anew: Put My Answers Away", (panel) => again(app, panel, "begin_anew"));
    command("rooflab:fresh", "Fresh Copy of This Workbook, the Old One Kept", (panel) => again(app, panel, "fresh_copy"));
    app.commands.commandExecuted.connect(async (_, { id, args, result }) => {
      if (id === LINK) follow(args, result, here);
      const panel = here();
      if (!panel || !RUNS.includes(id)) return;
      say(panel, STARTING);
      if (id.includes("restart")) await result.catch(() => {});
      settleAt(panel);
      const done = await Promise.resolve(result).catch(() => false);
      if (panel.isDisposed) return;
      if (pages.get(panel).place) settleAt(panel);
      pages.get(panel).place = "";
      say(panel, done === false ? STILL : LIVE);
      pages.get(panel).ran = true;
      await panel.context.save();
    });
    app.shell.currentChanged.connect(() => look(app));
    app.restored.then(() => look(app));
  };
  const plugin = { id: "rooflab-reader:plugin", autoStart: true, activate };
  const container = { init: () => {}, get: async () => () => ({ __esModule: true, default: plugin }) };
  (window._JUPYTERLAB = window._JUPYTERLAB || {})["rooflab-reader"] = container;
})();

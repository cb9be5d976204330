// A plugin for JupyterLab: Run All Cells leaves a page at its last cell; this brings it back to its first one, where
// a lesson begins.  Written by hand, in the form that JupyterLab's own tools write: a container with `init` and `get`.
(() => {
  const ALL = ["notebook:run-all-cells", "notebook:restart-run-all", "runmenu:run-all", "runmenu:restart-and-run-all"];
  const WAITS = [0, 150, 500]; // ms: JupyterLab scrolls to its cell a little later, and the page takes shape
  const top = (notebook) => {
    notebook.activeCellIndex = 0;
    notebook.deselectAll();
    notebook.scrollToItem(0, "start");
  };
  const plugin = {
    id: "rooflab-top:plugin",
    autoStart: true,
    activate: (app) => {
      app.commands.commandExecuted.connect((_, { id, result }) => {
        if (!ALL.includes(id)) return;
        const notebook = app.shell.currentWidget && app.shell.currentWidget.content;
        if (!notebook || typeof notebook.scrollToItem !== "function") return;
        let left = false; // the reader has begun to scroll or type
        const leave = () => { left = true; };
        for (const name of ["wheel", "pointerdown", "keydown"]) notebook.node.addEventListener(name, leave, { once: true });
        const begun = id.includes("restart") ? result : Promise.resolve();
        begun.then(() => WAITS.forEach((wait) => setTimeout(() => { if (!left) top(notebook); }, wait)), () => {});
      });
    },
  };
  const container = { init: () => {}, get: async () => () => ({ __esModule: true, default: plugin }) };
  (window._JUPYTERLAB = window._JUPYTERLAB || {})["rooflab-top"] = container;
})();

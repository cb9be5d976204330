// A plugin for JupyterLab that runs the notebook of a room view or of the view for the table as soon as its kernel is
// ready, so that it opens by itself.  `python3 -m rooflab present` loads it, and a presenter's server of an office.
// Written by hand, in the form that JupyterLab's own tools write: a container with `init` and `get`.
(() => {
  const EVERY = 100, LONGEST = 120000; // ms between two looks, and how long it is looked for
  const pause = () => new Promise((done) => setTimeout(done, EVERY));
  const begun = new WeakSet();
  const run = async (app) => {
    for (let waited = 0; waited < LONGEST; waited += EVERY) {
      const panel = app.shell.currentWidget;
      const context = panel && panel.sessionContext;
      if (context && panel.context && panel.content) {
        await panel.context.ready;
        if (begun.has(panel) || !panel.content.model.getMetadata("rooflab_view")) return;
        await context.ready;
        if (context.session && context.session.kernel && app.shell.currentWidget === panel && !begun.has(panel)) {
          begun.add(panel);
          await app.commands.execute("notebook:run-all-cells");
          return;
        }
      }
      await pause();
    }
  };
  const activate = (app) => {
    app.restored.then(() => {
      app.shell.currentChanged.connect(() => run(app));
      run(app);
    });
  };
  const plugin = { id: "rooflab-room:plugin", autoStart: true, activate };
  const container = { init: () => {}, get: async () => () => ({ __esModule: true, default: plugin }) };
  (window._JUPYTERLAB = window._JUPYTERLAB || {})["rooflab-room"] = container;
})();

// A plugin for JupyterLab that runs the open notebook as soon as its kernel is ready, so that a room view opens by
// itself.  It is loaded for `python3 -m rooflab present` alone.  Written by hand, in the form that JupyterLab's own
// tools write: a container with `init` and `get`.
(() => {
  const EVERY = 100, LONGEST = 120000; // ms between two looks, and how long it is looked for
  const pause = () => new Promise((done) => setTimeout(done, EVERY));
  const run = async (app) => {
    await app.restored;
    for (let waited = 0; waited < LONGEST; waited += EVERY) {
      const context = app.shell.currentWidget && app.shell.currentWidget.sessionContext;
      if (context) {
        await context.ready;
        if (context.session && context.session.kernel) {
          await app.commands.execute("notebook:run-all-cells");
          return;
        }
      }
      await pause();
    }
  };
  const plugin = { id: "rooflab-room:plugin", autoStart: true, activate: (app) => { run(app); } };
  const container = { init: () => {}, get: async () => () => ({ __esModule: true, default: plugin }) };
  (window._JUPYTERLAB = window._JUPYTERLAB || {})["rooflab-room"] = container;
})();

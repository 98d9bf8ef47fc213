/**
 * A cell that is run in the second or two before the kernel is there waits for it. JupyterLab by itself forgets the wish, and the cell
 * stays as it was, without a word. A prebuilt extension written by hand: a container of module federation with one module.
 *
 * @source https://jupyterlab.readthedocs.io/en/stable/extension/extension_dev.html, "Prebuilt extensions"
 */
(() => {
  const plugin = {
    id: "evenground-first-run:plugin",
    autoStart: true,
    activate: ({ commands, shell }) => {
      const execute = commands.execute.bind(commands);
      commands.execute = async (id, args) => {
        // One whose kernel can't start is ready too, and JupyterLab then says what it has to say.
        if (id.startsWith("notebook:run-")) await shell.currentWidget?.sessionContext?.ready;
        return execute(id, args);
      };
    },
  };
  globalThis._JUPYTERLAB ??= {};
  globalThis._JUPYTERLAB["evenground-first-run"] = {
    init: () => {},
    get: async () => () => ({ __esModule: true, default: plugin }),
  };
})();

/**
 * Two plugins, as prebuilt extensions written by hand: a container of module federation with one module.
 *
 * @source https://jupyterlab.readthedocs.io/en/stable/extension/extension_dev.html, "Prebuilt extensions"
 */
(() => {
  /**
   * A cell that is run in the second or two before the kernel is there waits for it. JupyterLab by itself forgets the wish, and the
   * cell stays as it was, without a word.
   */
  const firstRun = {
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
  /** In a class: all of one's work as one archive. Its place in the menu is in the class's settings. */
  const takeHome = {
    id: "evenground-first-run:take-home",
    autoStart: true,
    activate: ({ commands, serviceManager }) => {
      commands.addCommand("evenground:take-home", {
        label: "Take All My Work Home",
        caption: "Saves the whole folder as one archive, to go on with elsewhere",
        execute: () => {
          const link = document.createElement("a");
          link.href = `${serviceManager.serverSettings.baseUrl}take-home`;
          link.download = "";
          link.click();
        },
      });
    },
  };
  globalThis._JUPYTERLAB ??= {};
  globalThis._JUPYTERLAB["evenground-first-run"] = {
    init: () => {},
    get: async () => () => ({ __esModule: true, default: [firstRun, takeHome] }),
  };
})();

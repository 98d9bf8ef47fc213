// @ts-check
/** What a kernel does first, whether its code was read from files or came with a snapshot. */
const path = require("node:path");
const { receiveOnceBound } = require("./bound-first.cjs");
const { keepCompiledCode } = require("./compiled-code.cjs");
const { takeInterrupts } = require("./interrupt.cjs");
const { tellLateListeners } = require("./late-listeners.cjs");
const { loadMathjsInOne } = require("./mathjs-in-one.cjs");
const { endWithParent } = require("./orphan.cjs");
const { speakPlainly } = require("./plain-errors.cjs");
const { rememberLibrary } = require("./renewed.cjs");
const { replyInFull } = require("./replies.cjs");
const { nameSocketsAsJupyter } = require("./sockets.cjs");

/** @param {() => any} kernel  loads the kernel's own code */
function begin(kernel) {
  endWithParent();
  keepCompiledCode(path.join(__dirname, "..", "..", ".jupyter", "compiled"));
  rememberLibrary();
  loadMathjsInOne();
  const { startKernel, JupyterHandlerImpl, ZmqServer, typescript, zeromq } = kernel();
  nameSocketsAsJupyter(zeromq);
  receiveOnceBound(ZmqServer, zeromq);
  tellLateListeners(ZmqServer);
  speakPlainly();
  replyInFull(JupyterHandlerImpl, typescript);
  takeInterrupts(ZmqServer);
  startKernel({ configPath: argument("--config-path"), enableFindLocal: false });
}

/** @param {string} name */
function argument(name) {
  const at = process.argv.indexOf(name);
  if (at < 0)
    throw new Error(`${name} is missing: Jupyter starts this program, with a file that says where to listen`);
  return process.argv[at + 1];
}

module.exports = { begin };

/**
 * The kernel for JupyterLite, as a prebuilt extension of JupyterLab: a container of module federation, written by hand, for it
 * holds one module and takes one from the page.
 *
 * @source https://jupyterlab.readthedocs.io/en/stable/extension/extension_dev.html, "Prebuilt extensions";
 *   https://webpack.js.org/concepts/module-federation
 */
import type { Message, Reply } from "../../notebook/kernel";
import { type BrowserKernel, startBrowserKernel } from "./kernel";

/** What the page shares: packages by name and version. */
type Shared = {
  readonly [name: string]: { readonly [version: string]: { get(): Promise<() => unknown> } };
};

interface BaseKernel {
  dispose(): void;
  readonly executionCount: number;
  stream(content: object): void;
  displayData(content: object): void;
  updateDisplayData(content: object): void;
}
interface Services {
  readonly BaseKernel: new (options: object) => BaseKernel;
  readonly IKernelSpecs: object;
}
interface FileModel {
  readonly path: string;
  readonly type: string;
  readonly format?: string | null;
  readonly content?: unknown;
}
interface Contents {
  get(path: string, options?: object): Promise<FileModel>;
  save(path: string, model: object): Promise<unknown>;
  delete(path: string): Promise<void>;
}
interface App {
  readonly serviceManager: { readonly contents: Contents };
}
interface Specs {
  register(kernel: { spec: object; create(options: object): Promise<BaseKernel> }): void;
}

/** The name in every notebook's metadata. */
const kernelName = "tslab";
const folder = "/course/";

let shared: Shared = {};

async function taken<T>(name: string): Promise<T> {
  const [version] = Object.values(shared[name] ?? {});
  if (!version) throw new Error(`this JupyterLab does not share ${name}`);
  return (await version.get())() as T;
}

async function plugin() {
  const services = await taken<Services>("@jupyterlite/services");
  return {
    id: "evenground-kernel:plugin",
    autoStart: true,
    requires: [services.IKernelSpecs],
    activate: ({ serviceManager: { contents } }: App, specs: Specs) => {
      // The first kernel begins while JupyterLab is still opening its windows.
      let ahead: Promise<BrowserKernel> | undefined = start(contents);
      void ahead.then((kernel) => kernel.warm());
      const next = () => {
        const kernel = ahead ?? start(contents);
        ahead = undefined;
        return kernel;
      };
      specs.register({
        spec: {
          name: kernelName,
          display_name: "TypeScript",
          language: "typescript",
          argv: [],
          resources: {},
        },
        create: async (options) => new (kernelOn(services, next))(options),
      });
    },
  };
}

const kernelOn = ({ BaseKernel: Base }: Services, next: () => Promise<BrowserKernel>) =>
  class extends Base {
    private readonly kernel = next();

    kernelInfoRequest = () => this.ask("kernel_info_request", {});
    completeRequest = (content: object) => this.ask("complete_request", content);
    inspectRequest = (content: object) => this.ask("inspect_request", content);
    isCompleteRequest = (content: object) => this.ask("is_complete_request", content);
    commInfoRequest = async () => ({ status: "ok", comms: {} });
    inputReply = () => {};
    commOpen = async () => {};
    commMsg = async () => {};
    commClose = async () => {};

    async executeRequest({ code }: { readonly code: string }): Promise<Reply> {
      const reply = await (await this.kernel).run(code, (message) => this.publish(message));
      return { ...reply, execution_count: this.executionCount, user_expressions: {} };
    }

    private publish({ msg_type: type, content }: Message): void {
      if (type === "stream") this.stream(content);
      else if (type === "display_data") this.displayData(content);
      else if (type === "update_display_data") this.updateDisplayData(content);
    }

    private ask = async (type: string, content: object) => (await this.kernel).reply(type, content);

    /** Ends the worker at once, whatever runs in it: a restart is the way out of a loop that never ends. */
    override dispose(): void {
      void this.kernel.then((kernel) => kernel.stop());
      super.dispose();
    }
  };

/** A kernel that has the reader's files, as they are when it starts, and writes its own among them. */
async function start(contents: Contents): Promise<BrowserKernel> {
  let writing: Promise<unknown> = Promise.resolve();
  const kernel = await startBrowserKernel({
    base: new URL("../../book/kernel/", location.href).href,
    onFile: (path, bytes) => {
      // Drafts are written beside a file before they take its place.
      if (/\/\.[^/]*$/.test(path)) return;
      const name = path.replace(folder, "");
      writing = writing
        .then(() => (bytes ? save(contents, name, bytes) : contents.delete(name)))
        .catch((error) => console.warn(`${name} is not among the files of JupyterLab:`, error));
    },
  });
  for (const file of await filesOf(contents, "")) {
    const { content, format } = await contents.get(file, { content: true });
    if (typeof content !== "string") continue;
    const bytes = format === "base64" ? fromBase64(content) : new TextEncoder().encode(content);
    kernel.give(folder + file, bytes);
  }
  return kernel;
}

/** Files of a folder and below, notebooks left out. */
async function filesOf(contents: Contents, path: string): Promise<string[]> {
  const { content } = await contents.get(path, { content: true });
  const entries = Array.isArray(content) ? (content as FileModel[]) : [];
  const below = await Promise.all(
    entries.map(async (entry) =>
      entry.type === "directory" ? filesOf(contents, entry.path) : entry.type === "file" ? [entry.path] : [],
    ),
  );
  return below.flat();
}

async function save(contents: Contents, name: string, bytes: Uint8Array): Promise<void> {
  const folders = name.split("/").slice(0, -1);
  for (const [i] of folders.entries()) {
    const path = folders.slice(0, i + 1).join("/");
    await contents.save(path, { type: "directory", path, name: folders[i] });
  }
  let binary = "";
  for (let i = 0; i < bytes.length; i += 0x8000)
    binary += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  const content = btoa(binary);
  await contents.save(name, { type: "file", format: "base64", content, size: bytes.length });
}

const fromBase64 = (text: string) => Uint8Array.from(atob(text), (one) => one.charCodeAt(0));

const scope = globalThis as unknown as { _JUPYTERLAB?: { [name: string]: object } };
scope._JUPYTERLAB ??= {};
scope._JUPYTERLAB["evenground-kernel"] = {
  init: (scopes: Shared) => {
    shared = scopes;
  },
  get: async () => {
    const made = await plugin();
    return () => ({ __esModule: true, default: made });
  },
};

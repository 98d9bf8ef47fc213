/** The notebook's kernel, as far as the library needs it: where output goes. */

interface Display {
  html(text: string): void;
}

/** What the kernel leaves in the global scope: the `require` that its cells use. */
interface KernelScope {
  readonly __tslab__?: { readonly require: (name: "tslab") => { readonly display: Display } };
}

/**
 * The running kernel's display.
 *
 * @throws RangeError outside a notebook
 */
export function notebookDisplay(): Display {
  const kernel = (globalThis as KernelScope).__tslab__;
  if (!kernel)
    throw new RangeError("show() works in a notebook: elsewhere a figure is data, a table has its html");
  return kernel.require("tslab").display;
}

import { readOptions } from "../setup/options.mjs";

/** What `npm run book` takes; nothing where only help was wanted. */
export function readBookOptions(args: readonly string[]): { readonly asItRan: boolean } | undefined {
  const read = readOptions(args, {
    call: "npm run book",
    options: {
      "as-it-ran": { says: "takes the lessons as npm run course left them, instead of running them" },
    },
  });
  return read && { asItRan: read.values.asItRan };
}

import { readOptions } from "../setup/options.mjs";

/**
 * What `npm run book` and `npm run site` take; nothing where only help was wanted.
 *
 * @param call  how the command is called
 */
export function readBookOptions(
  call: string,
  args: readonly string[],
): { readonly asItRan: boolean } | undefined {
  const read = readOptions(args, {
    call,
    options: {
      "as-it-ran": { says: "takes the lessons as npm run course left them, instead of running them" },
    },
  });
  return read && { asItRan: read.values.asItRan };
}

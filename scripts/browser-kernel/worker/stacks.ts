/**
 * What an engine without V8's way to write a stack says of an error: as the kernel says it elsewhere, in what function of a
 * cell and what to do.
 */
import { remedy } from "../../typescript-kernel/plain-errors.cjs";

/**
 * @param error
 * @param stack  as Firefox writes it: a line a call, "name@place:line:column"
 */
export function plainStack(error: Error, stack: string): string {
  const where = stack.split("\n").flatMap((line) => {
    const [, name] = /^(.*)@.*evalmachine\.<anonymous>:\d+:\d+$/.exec(line) ?? [];
    // A function without a name of its own is called by the one around it and a mark.
    const own = name
      ?.replace(/^(async|get|set)\*/, "")
      .split(".")
      .at(-1);
    return own && !/[/<*]/.test(own) ? [`  in ${own}`] : [];
  });
  return [String(error), ...where, ...remedy(error)].join("\n");
}

/** Has errors that are printed written so; nothing where the engine asks how to write a stack. */
export function writeStacksPlainly(): void {
  if ("captureStackTrace" in Error && /\n {2,}at |^Error/.test(String(new Error("").stack))) return;
  const print = console.error;
  console.error = (...what: unknown[]) =>
    print(...what.map((item) => (item instanceof Error ? plainStack(item, item.stack ?? "") : item)));
}

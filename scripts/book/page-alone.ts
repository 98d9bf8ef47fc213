import { readFileSync } from "node:fs";
import path from "node:path";
import { dist } from "../build/state.mjs";

/** A page that opens from disk and holds one shown thing, with the script that draws it. */
export function pageAlone(html: string): string {
  const runtime = readFileSync(path.join(dist, "assets", "runtime.js"), "utf8");
  return `<!doctype html><meta charset="utf-8"><script>${runtime.replaceAll("</script", "<\\/script")}</script>${html}`;
}

// @ts-check
/** Registers the kernel alone, for an image in which a student's server runs without the rest of `npm run class`. */

import { ensureLibrary } from "../../setup/library.mjs";
import { inRoot } from "../../setup/places.mjs";
import { ensureClassKernel } from "./kernel.mjs";

await ensureLibrary();
await ensureClassKernel(inRoot(".venv-class"), 1500);

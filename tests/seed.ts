/** The same random cases on every run, so that what passed once passes again; EVENGROUND_SEED=N tries others. */
import fc from "fast-check";

fc.configureGlobal({ seed: Number(process.env.EVENGROUND_SEED ?? 1) });

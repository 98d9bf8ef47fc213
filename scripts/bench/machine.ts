import { cpus, totalmem, type } from "node:os";

/** In words, for the rows of a benchmark: times mean nothing without it. */
export const machine = `${type()}, ${cpus().length} × ${cpus()[0].model.trim()}, ${Math.round(totalmem() / 2 ** 30)} GiB, Node.js ${process.versions.node}`;

import { readFileSync } from "node:fs";
import process from "node:process";
import { answers } from "./program.mjs";

console.log(JSON.stringify(answers(readFileSync(process.argv[2], "utf8"))));

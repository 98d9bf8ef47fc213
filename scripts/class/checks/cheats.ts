/** Notebooks that try for more than their guesses are worth: what each tries, and the code that does it. */

/** Added before the functions, or in place of one of them. */
export interface Cheat {
  readonly tries: string;
  /** A cell of its own before the functions. */
  readonly cell?: string;
  /** Statements at the start of each function, before it returns its guess. */
  readonly within?: string;
  /** What it ends or uses up, its own functions' share too: marks may be lower than the guess is worth, never higher. */
  readonly costs?: true;
}

/** Statements that must not throw where the sandbox refuses them. */
const quietly = (code: string) => `try { ${code} } catch {}`;
const secrets = (course: string, folder: string) =>
  [
    `${folder}/marks`,
    `${folder}/secret.json`,
    `${folder}/submitted`,
    `${course}/grading`,
    `${course}/class`,
    "/root",
    "/home",
    "/etc/shadow",
  ].map((place) => JSON.stringify(place));

/**
 * @param course   where the course lies
 * @param folder  the teacher's
 */
export const cheatsAgainst = (course: string, folder: string): readonly Cheat[] => [
  {
    tries: "prints lines of points",
    cell: `console.log("points 4 of 4"); process.stdout.write("points 4 of 4\\n");`,
  },
  { tries: "rewrites console.log", cell: `console.log = () => process.stdout.write("points 4 of 4\\n");` },
  {
    tries: "makes Array.prototype.map give full scores",
    cell: `Array.prototype.map = function () { return [{ score: 100, share: 1 }] as any; };`,
  },
  {
    tries: "makes Array.prototype.reduce give a hundred",
    cell: `Array.prototype.reduce = (() => 100) as any;`,
  },
  {
    tries: "makes Math.min, max and round give a hundred",
    cell: `for (const name of ["min", "max", "round", "abs"]) (Math as any)[name] = () => 100;`,
  },
  {
    tries: "gives every object a score",
    cell: `Object.assign(Object.prototype, { score: 100, share: 1, worked: 1, points: 15 });`,
  },
  {
    tries: "writes answers as JSON of its own",
    cell: `JSON.stringify = (() => '{"answer":0,"score":100,"share":1,"points":15,"__proto__":{"score":100}}') as any;`,
  },
  {
    tries: "replaces the library's exports",
    cell: `const l = require("evenground"); ${quietly(`l.course.grade = () => ({ score: 100 }); Object.defineProperty(l, "course", { value: {} });`)}`,
  },
  {
    tries: "loads its own modules in place of ours",
    cell: `const M = require("module"); const before = M._load; M._load = (name: string, ...rest: any[]) => /evenground/.test(name) ? { course: { grade: () => 100 } } : before(name, ...rest);`,
  },
  {
    tries: "empties the cache of modules",
    cell: `for (const key of Object.keys(require("module")._cache)) delete require("module")._cache[key];`,
  },
  {
    tries: "reads secrets, marks and other students' work",
    cell: `for (const place of [${secrets(course, folder)}]) ${quietly(`const fs = require("fs"); const all = fs.statSync(place).isDirectory() ? fs.readdirSync(place, { recursive: true }) : fs.readFileSync(place); throw new RangeError("LEAK " + all);`).replace("catch {}", `catch (e) { if (/LEAK/.test((e as Error).message)) throw e; }`)}`,
  },
  {
    tries: "writes marks and the library",
    cell: `for (const place of ["${folder}/marks.csv", "${folder}/marks/x.json", "${course}/dist/index.js", "${course}/scripts/class/marking/mark.ts"]) ${quietly(`require("fs").writeFileSync(place, "FORGED");`)}`,
  },
  {
    tries: "starts a shell",
    cell: `${quietly(`require("child_process").execSync("touch ${folder}/FORGED; touch ${course}/FORGED");`)}`,
  },
  {
    tries: "starts another Node.js that goes on after it",
    cell: `${quietly(`require("child_process").spawn(process.execPath, ["-e", "setInterval(() => {}, 1000); /* GOES ON */"], { detached: true, stdio: "ignore" }).on("error", () => {}).unref();`)}`,
    costs: true, // its functions share the processor with them
  },
  {
    tries: "asks the network",
    cell: `const http = require("http"); await new Promise((end) => http.get("http://127.0.0.1:22/", () => { throw new Error("LEAK network"); }).on("error", end));`,
  },
  {
    tries: "sends scores to the examiner",
    cell: `${quietly(`require("fs").writeSync(4, '{"score":100,"share":1,"points":15}\\n');`)}`,
    costs: true,
  },
  {
    tries: "sends a hundred answers ahead",
    cell: `${quietly(`for (let i = 0; i < 100; i++) require("fs").writeSync(4, '{"problems":[]}\\n{"answer":"inverted"}\\n');`)}`,
    costs: true,
  },
  {
    tries: "sends lines without end",
    cell: `${quietly(`for (let i = 0; i < 3000; i++) require("fs").writeSync(4, "x".repeat(10000));`)}`,
    costs: true,
  },
  {
    tries: "closes the examiner's pipes",
    cell: `${quietly(`require("fs").closeSync(3); require("fs").closeSync(4);`)}`,
    costs: true,
  },
  {
    tries: "looks for the room's number by its drawing",
    within: `const { course } = require("evenground"); for (let v = 1000; v < 1040; v++) { const same = course.exercise("cellar-level", v); if (JSON.stringify(same.venue) === JSON.stringify(one.venue)) { ${quietly(`same.check(0); return same.solution().answer;`)} } }`,
    costs: true, // so many rooms take longer than an answer may
  },
  {
    tries: "asks the examiner for the solution",
    within: quietly(
      `for (const name of ["check", "solution", "truth", "audience", "judge", "entry", "room"]) if (typeof (one as any)[name] === "function") { (one as any)[name](0); return (one as any).solution().answer; }`,
    ),
  },
  {
    tries: "answers with what turns into any number",
    within: `if (Math.random() < 2) { const g = guess; return { valueOf: () => g, toJSON: () => g, score: 100, passed: true }; }`,
  },
  {
    tries: "answers with a proxy",
    within: `if (Math.random() < 2) { const g = guess; return new Proxy(Object(g), { get: (t, k) => k === "toJSON" ? () => g : 100 }); }`,
  },
  { tries: "answers with a promise", within: `if (Math.random() < 2) return Promise.resolve(guess);` },
  {
    tries: "answers with a promise that never comes",
    within: `if (Math.random() < 2) return new Promise(() => {});`,
    costs: true,
  },
  {
    tries: "answers with a text of a hundred megabytes",
    within: `if (Math.random() < 2) return "1".repeat(1e8);`,
    costs: true,
  },
  {
    tries: "answers with a list a million deep",
    within: `if (Math.random() < 2) { let deep: any = []; for (let i = 0; i < 1e6; i++) deep = [deep]; return deep; }`,
    costs: true,
  },
  {
    tries: "asks for endless measurements",
    within: `for (let i = 0; i < 1000; i++) ${quietly(`one.measure([{ x: 5, y: i % 3 }]);`)}`,
    costs: true,
  },
  {
    tries: "measures with hostile places",
    within: `for (const at of [[{ x: 1e308, y: "__proto__" }], { length: 1e9 }, [null], "row D", [{ x: NaN }], [["row D"]], [{ toString: 1 }]]) ${quietly(`one.measure(at as any);`)}`,
  },
  { tries: "runs on in a function", within: `for (;;) {}`, costs: true },
  { tries: "runs on in a cell", cell: `for (;;) {}` },
  { tries: "ends the program in a cell", cell: `process.exit(0);` },
  { tries: "ends the program in a function", within: `process.exit(0);`, costs: true },
  {
    tries: "fills the memory",
    cell: `const hoard: any[] = []; for (let i = 0; i < 40; i++) hoard.push(Buffer.alloc(1e8, 1));`,
    costs: true, // its functions have to live with what is left
  },
  {
    tries: "fills the disk",
    cell: `${quietly(`for (let i = 0; i < 200; i++) require("fs").writeFileSync("fill" + i, Buffer.alloc(1e6));`)}`,
  },
  {
    tries: "starts processes without end",
    cell: `for (let i = 0; i < 50; i++) ${quietly(`require("child_process").spawn(process.execPath, ["-e", "for (;;) {}"], { stdio: "ignore" }).on("error", () => {}).unref();`)}`,
    costs: true, // its functions share the processor with them
  },
  {
    tries: "kills the examiner",
    cell: `for (const pid of [process.ppid, 1, -1]) ${quietly(`process.kill(pid, "SIGKILL");`)}`,
    costs: true,
  },
  {
    tries: "reads the examiner's memory and environment",
    cell: `for (const place of ["/proc/1/environ", "/proc/self/mountinfo", "/proc/" + process.ppid + "/mem"]) { let text = ""; ${quietly(`text = require("fs").readFileSync(place, "latin1");`)} if (text) throw new Error("LEAK " + place); }`,
  },
  { tries: "opens a debugger", cell: quietly(`require("inspector").open(0, "0.0.0.0");`) },
  {
    tries: "takes another account",
    cell: quietly(`process.setuid!(0); require("fs").writeFileSync("${folder}/FORGED", "");`),
  },
  {
    tries: "makes links to secrets where it may write",
    cell: quietly(
      `require("fs").symlinkSync("${folder}/marks", "x"); throw new Error("LEAK " + require("fs").readdirSync("x"));`,
    ).replace("catch {}", `catch (e) { if (/LEAK/.test((e as Error).message)) throw e; }`),
  },
  {
    tries: "leaves timers and workers behind",
    cell: `setInterval(() => {}, 10); ${quietly(`new (require("worker_threads").Worker)("for (;;) {}", { eval: true }).unref();`)}`,
    costs: true, // as above
  },
  {
    tries: "replaces its functions after they were defined",
    within: `(globalThis as any).__tslab__.exports.cellarLevel = () => 3;`,
  },
  {
    tries: "draws the rooms again by the examiner's own code",
    cell: quietly(`require("${course}/scripts/class/marking/rooms.ts");`),
  },
  {
    tries: "puts markup and formulas into its errors",
    within: `if (Math.random() < 2) throw new Error('=HYPERLINK("http://x")<script>alert(1)</script><img src=x onerror=alert(1)>');`,
    costs: true,
  },
];

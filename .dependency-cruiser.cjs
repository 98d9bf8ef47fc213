/** The rooms of the library: a folder imports from those before it in this list, never from those after. */
const rooms = [
  "numeric",
  "text",
  "guard",
  "files",
  "acoustics",
  "survey",
  "venue",
  "field",
  "estimate",
  "measurement",
  "decision",
  "study",
  "lesson",
  "public",
];
/** Neither field nor measurement knows the other: they meet in the survey, from which an estimate is made. */
const strangers = [
  ["measurement", "venue|field|estimate"],
  ["estimate", "venue|field"],
];
/** These run in the browser as well, inside live panels. */
const anywhere = [
  "numeric",
  "text",
  "guard",
  "acoustics",
  "survey",
  "venue",
  "field",
  "estimate",
  "decision",
];

module.exports = {
  forbidden: [
    ...rooms.map((room, i) => ({
      name: `${room}-imports-from-above-only`,
      severity: "error",
      from: { path: `^lib/${room}/` },
      to: { path: `^lib/(${[...rooms.slice(i + 1), "index\\.ts"].join("|")})` },
    })),
    ...strangers.map(([room, others]) => ({
      name: `${room}-and-the-model-are-strangers`,
      severity: "error",
      from: { path: `^lib/${room}/` },
      to: { path: `^lib/(${others})/` },
    })),
    {
      name: "free-of-node",
      comment: "the same code runs in the kernel and in a live panel",
      severity: "error",
      from: { path: `^lib/(${anywhere.join("|")})/` },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "free-of-files",
      severity: "error",
      from: { path: `^lib/(${anywhere.join("|")})/` },
      to: { path: "^lib/files/" },
    },
    {
      name: "decision-and-measurement-are-strangers",
      severity: "error",
      from: { path: "^lib/decision/" },
      to: { path: "^lib/measurement/" },
    },
    { name: "no-circles", severity: "error", from: {}, to: { circular: true } },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    doNotFollow: { path: "node_modules" },
  },
};

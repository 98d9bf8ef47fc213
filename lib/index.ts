/** The one face that notebooks import: `import { … } from "evenground"`. */
export * from "./acoustics";
export * from "./decision";
export * from "./field";
export * from "./lesson";
export * from "./measurement";
export * from "./survey/survey";
export * from "./venue";

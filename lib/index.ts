/** The one face that notebooks import: `import { … } from "evenground"`. */
export * from "./acoustics/point";
export * from "./acoustics/response";
export * from "./measurement";
export * from "./survey/survey";
export * from "./venue/venue";

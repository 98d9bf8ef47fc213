/** Physics without places, by subject. */
export * as air from "./acoustics/air";
export * as bands from "./acoustics/bands";
export * as directivity from "./acoustics/directivity";
export * as distance from "./acoustics/distance";
export * as dose from "./acoustics/dose";
export * as filters from "./acoustics/filters";
export * as level from "./acoustics/level";
export * as loudness from "./acoustics/loudness";
export * as reflection from "./acoustics/reflection";
export * as room from "./acoustics/room";

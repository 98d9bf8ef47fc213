/** Physics without places: level and ratio, air, bands, filters, one reflection, room statistics, directivity. */

export * from "./bands/bands";
export * from "./bands/curve";
export * from "./bands/smoothing";
export * from "./directivity/directivity";
export * from "./directivity/pattern";
export * from "./distance/air";
export * from "./distance/drift";
export * from "./distance/spreading";
export * from "./filters/filter";
export * from "./filters/response";
export * from "./level/decibel";
export * from "./level/dose";
export * from "./level/weighting";
export * from "./point";
export * from "./reflection/cavity";
export * from "./reflection/reflection";
export * from "./response";
export * from "./room/diffuse-field";
export * from "./room/modes";
export * from "./room/reverberation";
export * from "./uncertainty";

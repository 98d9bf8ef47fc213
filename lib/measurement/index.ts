export * from "./byte-source";
export * from "./file-error";
export * from "./wav-header";
export * from "./wav-read";
export * from "./wav-write";

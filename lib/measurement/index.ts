export * from "./byte-source";
export * from "./file-error";
export * from "./trace-read";
export * from "./trace-write";
export * from "./wav-header";
export * from "./wav-read";
export * from "./wav-write";

/** From the library into files: recordings, traces, reports. */
export { writeReports as reports } from "../lesson/report/write";
export { writeTrace as traceText, writeTraceFile as trace } from "../measurement/trace/write";
export { encodeWav as wavBytes, writeWav as wav } from "../measurement/wav/write";

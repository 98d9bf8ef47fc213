/** From files into the library: venues, shows, recordings, traces. */
export { example } from "../lesson/examples/example";
export { venueOfFile as venue } from "../lesson/examples/venue-of-file";
export { readTrace as traceText, readTraceFile as trace } from "../measurement/trace/read";
export { readWav as wav } from "../measurement/wav/read";
export { readShow as show } from "../study/read-show";
export { readVenue as venueText } from "../venue/file/read";

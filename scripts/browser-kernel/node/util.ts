/** Node.js' `util`: how values are printed. */
import { format, inspect, stripVTControlCharacters } from "node-inspect-extracted";

const { TextDecoder, TextEncoder } = globalThis;

export { format, inspect, stripVTControlCharacters, TextDecoder, TextEncoder };
export default { format, inspect, stripVTControlCharacters, TextDecoder, TextEncoder };

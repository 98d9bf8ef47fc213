/** A kernel's messages into a cell's outputs, as the notebook's format stores them. */
import { joined, type Output } from "./format";
import type { Message } from "./kernel";

/**
 * @param outputs  the cell's outputs so far; changed
 * @param shown  outputs of the whole notebook that may be updated later, by their display id; changed
 */
export function addOutput(
  outputs: Output[],
  shown: Map<string, Output>,
  { msg_type: type, content }: Message,
): void {
  const { name, text, data, metadata = {}, execution_count, ename, evalue, traceback, transient } = content;
  const id = transient?.display_id ?? "";
  if (type === "stream") {
    const last = outputs.at(-1);
    if (last?.output_type === type && last.name === name) last.text = joined(last.text) + joined(text);
    else outputs.push({ output_type: type, name, text });
  } else if (type === "display_data" || type === "execute_result") {
    const output = { output_type: type, data, metadata };
    outputs.push(type === "execute_result" ? { ...output, execution_count } : output);
    if (id) shown.set(id, outputs[outputs.length - 1]);
  } else if (type === "update_display_data") {
    Object.assign(shown.get(id) ?? {}, { data, metadata });
  } else if (type === "error") {
    outputs.push({ output_type: type, ename, evalue, traceback });
  } else if (type === "clear_output") {
    outputs.length = 0;
  }
}

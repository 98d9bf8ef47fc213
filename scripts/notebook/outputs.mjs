// @ts-check
/** A kernel's messages into a cell's outputs, as the notebook format 4 stores them. */
import { stripVTControlCharacters } from "node:util";

/**
 * @param {any[]} outputs  the cell's outputs so far; changed
 * @param {Map<string, any>} shown  outputs of the whole notebook that may be updated later, by their display id; changed
 * @param {import("./kernel.mjs").Message} message
 */
export function addOutput(outputs, shown, { msg_type: type, content }) {
  if (type === "stream") {
    const last = outputs.at(-1);
    if (last?.output_type === "stream" && last.name === content.name) last.text += content.text;
    else
      outputs.push({
        output_type: "stream",
        name: content.name,
        text: content.text,
      });
  } else if (type === "display_data" || type === "execute_result") {
    const output = {
      output_type: type,
      data: content.data,
      metadata: content.metadata ?? {},
    };
    outputs.push(
      type === "execute_result" ? { ...output, execution_count: content.execution_count } : output,
    );
    const id = content.transient?.display_id;
    if (id) shown.set(id, outputs.at(-1));
  } else if (type === "update_display_data") {
    const earlier = shown.get(content.transient?.display_id);
    if (earlier)
      Object.assign(earlier, {
        data: content.data,
        metadata: content.metadata ?? {},
      });
  } else if (type === "error") {
    outputs.push({
      output_type: "error",
      ename: content.ename,
      evalue: content.evalue,
      traceback: content.traceback,
    });
  } else if (type === "clear_output") {
    outputs.length = 0;
  }
}

/**
 * What a failed cell said, without colours.
 *
 * @param {any[]} outputs
 * @returns {string}
 */
export function errorText(outputs) {
  const said = outputs.flatMap((output) => {
    if (output.output_type === "error") return [`${output.ename}: ${output.evalue}`];
    return output.output_type === "stream" && output.name === "stderr" ? [output.text] : [];
  });
  return stripVTControlCharacters(said.join("\n")).trim() || "it failed without a message";
}

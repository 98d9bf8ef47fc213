/** Each ranked position in a sentence. */
import type { RankedPosition } from "./result";

/** Why a position has its rank, and what to bear in mind there. */
export function referenceReason(position: Omit<RankedPosition, "reason">, of: number): string {
  const parts = [biasWords(position.bias_db), changeWords(position)];
  if (position.notches.length > 0) {
    const named = position.notches
      .slice(0, 3)
      .map((n) => `${n.frequency_hz} Hz (${n.depth_db.toFixed(0)} dB)`);
    parts.push(`you miss ${named.join(", ")}, which the audience hears`);
  } else {
    parts.push("it has no notch of its own");
  }
  parts.push(`its spectrum differs from the audience's by ${position.spectrum_rms_db.toFixed(1)} dB`);
  const rank = of > 1 ? `Rank ${position.rank} of ${of}, "${position.id}"` : `"${position.id}"`;
  return `${rank}: ${parts.join("; ")}.${correctionWords(position)}`;
}

function biasWords(bias: number): string {
  if (Math.abs(bias) < 0.5) return "its balance is the audience's within half a decibel";
  return `you hear ${Math.abs(bias).toFixed(1)} dB ${bias > 0 ? "more" : "less"} bass there than the audience`;
}

function changeWords(position: Omit<RankedPosition, "reason">): string {
  const { towardBack_db_per_m: back, towardLeft_db_per_m: left } = position;
  if (back === null && left === null)
    return "how it changes with a step is not known, no position beside it was measured";
  const steep = Math.hypot(back ?? 0, left ?? 0);
  if (steep < 0.3) return "a step in any direction changes little";
  const direction = Math.abs(back ?? 0) >= Math.abs(left ?? 0) ? "toward the back or front" : "sideways";
  return `a metre ${direction} changes it by ${steep.toFixed(1)} dB`;
}

function correctionWords({ correction }: Omit<RankedPosition, "reason">): string {
  if (Math.abs(correction.low_db) < 0.5) return "";
  const direction = correction.low_db > 0 ? "more" : "less";
  return ` Whoever must mix here should let the bass sound ${Math.abs(correction.low_db).toFixed(1)} dB ${direction} than the target.`;
}

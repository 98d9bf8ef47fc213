/** Names in a sentence: at most four, then how many more. */
export function listed(names: readonly string[]): string {
  const shown = names.slice(0, 4).map((n) => `"${n}"`);
  if (names.length > 4) return `${shown.join(", ")} and ${names.length - 4} more`;
  return shown.length > 1 ? `${shown.slice(0, -1).join(", ")} and ${shown[shown.length - 1]}` : shown[0];
}

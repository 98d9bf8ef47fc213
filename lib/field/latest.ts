/**
 * Keeps what was made or asked for last, by key.
 *
 * @param most  how many are kept
 */
export function latest<T>(most: number): (key: string, make: () => T) => T {
  const known = new Map<string, T>();
  return (key, make) => {
    const value = known.get(key) ?? make();
    known.delete(key);
    known.set(key, value);
    if (known.size > most) known.delete(known.keys().next().value as string);
    return value;
  };
}

/** Where each public name stands in the book's reference. */
import type { NameLink } from "../code";
import type { Group, Reference } from "./declarations";

/** The first page; tells how to read the others. */
export const firstFile = "reference.html";
export const groupFile = ({ name }: Pick<Group, "name">) => `reference-${name || "cells"}.html`;
export const typesFile = (inner: boolean) => (inner ? "reference-inner-types.html" : "reference-types.html");

/** Addresses of functions, values and types by their names, of groups too. */
export function addressesOf({ groups, types }: Reference): ReadonlyMap<string, string> {
  const addresses = new Map<string, string>();
  for (const group of groups) {
    const file = groupFile(group);
    if (group.name) addresses.set(group.name, file);
    for (const { name } of [...group.parts, ...group.entries]) addresses.set(name, `${file}#${name}`);
  }
  for (const { name, inner } of types) addresses.set(name, `${typesFile(inner)}#${name}`);
  return addresses;
}

/**
 * Links each public function of a lesson's code where it appears first. That may be where it is taken out of its
 * group: `const { notches } = acoustics.reflection`.
 *
 * @param reference  whose functions are linked
 * @returns the links of one lesson
 */
export function linkFirstUses({ groups }: Reference, addresses: ReadonlyMap<string, string>): NameLink {
  const waiting = new Set(groups.flatMap(({ entries }) => entries.map(({ name }) => name)));
  return (name, after) => {
    const group = /^[^{}=]*\} = ([\w.]+)/.exec(after)?.[1];
    const found = group ? `${group}.${name}` : beginningIn(name, waiting);
    const called = found?.includes(".") || after.startsWith("(");
    if (!found || !called || !waiting.delete(found)) return undefined;
    return { name: group ? name : found, href: addresses.get(found) ?? "" };
  };
}

/** Links every name that has an entry. */
export const linkAll =
  (addresses: ReadonlyMap<string, string>): NameLink =>
  (name) => {
    const found = beginningIn(name, addresses);
    return found ? { name: found, href: addresses.get(found) ?? "" } : undefined;
  };

/** `acoustics.air.standard` of `acoustics.air.standard.pressure`. */
function beginningIn(name: string, names: { has(name: string): boolean }): string | undefined {
  for (let end = name.length; end > 0; end = name.lastIndexOf(".", end - 1))
    if (names.has(name.slice(0, end))) return name.slice(0, end);
  return undefined;
}

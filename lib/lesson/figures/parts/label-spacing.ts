/**
 * Labels that would cover one another, moved apart along one axis, as little as need be.
 *
 * @param wanted  where each label belongs
 * @param apart  least distance between two labels, same unit
 * @param within  lowest and highest place of a label, as far as they have room there
 * @returns where to put them, in the given order
 */
export function spreadApart(
  wanted: readonly number[],
  apart: number,
  [low, high]: readonly [number, number] = [-Infinity, Infinity],
): number[] {
  const placedBetween = (members: readonly number[]) => {
    const half = ((members.length - 1) / 2) * apart;
    const middle = members.reduce((sum, m) => sum + wanted[m], 0) / members.length;
    return Math.max(Math.min(middle, high - half), low + half);
  };
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b]);
  const groups: { members: number[]; middle: number }[] = [];
  for (const i of order) {
    let group = { members: [i], middle: placedBetween([i]) };
    let last = groups.at(-1);
    while (last && overlap(last, group, apart)) {
      groups.pop();
      const members = [...last.members, ...group.members];
      group = { members, middle: placedBetween(members) };
      last = groups.at(-1);
    }
    groups.push(group);
  }
  const placed = new Array<number>(wanted.length);
  for (const { members, middle } of groups) {
    members.forEach((m, k) => {
      placed[m] = middle + (k - (members.length - 1) / 2) * apart;
    });
  }
  return placed;
}

type Group = { readonly members: readonly number[]; readonly middle: number };

const overlap = (below: Group, above: Group, apart: number): boolean =>
  above.middle - below.middle < ((below.members.length + above.members.length) / 2) * apart;

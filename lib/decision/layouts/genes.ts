/**
 * A candidate layout as a list of genes, and how new candidates come from chance and from older ones.
 *
 * A gene puts up one unit with its settings; every number is an index into the space's lists. The list is kept in the order of
 * places, so that the same layout always reads the same.
 */
import type { LayoutSpace } from "./limits";

export interface Gene {
  readonly position: number;
  readonly kind: number;
  readonly delay: number;
  readonly gain: number;
  readonly polarity: number;
}

export type Chance = () => number;

/** The same for the same layout. */
export const keyOf = (genes: readonly Gene[]): string =>
  genes.map((g) => `${g.position},${g.kind},${g.delay},${g.gain},${g.polarity}`).join(" ");

/**
 * A candidate by chance. Half of them play as simply as can be: no delay, all alike, full level.
 *
 * @param space  what there is
 * @param chance  numbers over 0…1
 */
export function randomGenes(space: LayoutSpace, chance: Chance): Gene[] {
  const plain = chance() < 0.5;
  const wanted = space.count[0] + below(chance, space.count[1] - space.count[0] + 1);
  const genes: Gene[] = [];
  for (let attempt = 0; attempt < 50 && cabinetsOf(genes, space) < wanted; attempt++) {
    genes.push(randomGene(space, chance, plain));
    keepWithin(genes, space, chance);
  }
  return repaired(genes, space, chance);
}

/**
 * A child of two candidates: each place that either parent uses is taken from one of them, or left.
 */
export function crossed(a: readonly Gene[], b: readonly Gene[], space: LayoutSpace, chance: Chance): Gene[] {
  const positions = [...new Set([...a, ...b].map((g) => g.position))].sort((x, y) => x - y);
  const child = positions.flatMap((position) => {
    const from = chance() < 0.5 ? a : b;
    return from.filter((g) => g.position === position);
  });
  return repaired(child, space, chance);
}

/** A candidate changed a little: a step in a setting, a cabinet moved, added or taken away. */
export function mutated(genes: readonly Gene[], space: LayoutSpace, chance: Chance): Gene[] {
  const changed = [...genes];
  const steps = 1 + below(chance, 2);
  for (let s = 0; s < steps; s++) {
    const what = chance();
    const i = below(chance, changed.length);
    const gene = changed[i];
    if (!gene || what < 0.1) changed.push(randomGene(space, chance, chance() < 0.5));
    else if (what < 0.2) changed.splice(i, 1);
    else if (what < 0.4) changed[i] = { ...gene, position: moved(gene.position, space, chance) };
    else if (what < 0.65) changed[i] = { ...gene, delay: stepped(gene.delay, space.delays.length, chance) };
    else if (what < 0.75) changed[i] = { ...gene, polarity: below(chance, space.polarities.length) };
    else if (what < 0.85) changed[i] = { ...gene, gain: stepped(gene.gain, space.gains.length, chance) };
    else if (what < 0.95) changed[i] = { ...gene, kind: below(chance, space.unitsAt[gene.position].length) };
    else changed[i] = { ...changed[below(chance, changed.length)], position: gene.position };
  }
  return repaired(changed, space, chance);
}

/** How many cabinets a candidate puts up. */
export function cabinetsOf(genes: readonly Gene[], space: LayoutSpace): number {
  return genes.reduce((sum, g) => sum + space.units[space.unitsAt[g.position][g.kind]].sources.length, 0);
}

function randomGene(space: LayoutSpace, chance: Chance, plain: boolean): Gene {
  const position = below(chance, space.unitsAt.length);
  return {
    position,
    kind: below(chance, space.unitsAt[position].length),
    delay: plain ? 0 : below(chance, space.delays.length),
    gain: plain ? space.gains.length - 1 : below(chance, space.gains.length),
    polarity: plain ? 0 : below(chance, space.polarities.length),
  };
}

/** Within the count, nothing in the same place, the loudest at full, in order; as near to what came in as chance allows. */
function repaired(genes: Gene[], space: LayoutSpace, chance: Chance): Gene[] {
  keepWithin(genes, space, chance);
  for (let attempt = 0; attempt < 200 && cabinetsOf(genes, space) < space.count[0]; attempt++) {
    genes.push(randomGene(space, chance, true));
    keepWithin(genes, space, chance);
  }
  return loudestAtFull(genes, space).sort((x, y) => x.position - y.position);
}

/** With the loudest at the upper end of the gains: what all have in common is the offset's matter. */
function loudestAtFull(genes: Gene[], space: LayoutSpace): Gene[] {
  const up = space.gains.length - 1 - Math.max(...genes.map((g) => g.gain));
  return up === 0 ? genes : genes.map((g) => ({ ...g, gain: g.gain + up }));
}

/** Takes out what overlaps an earlier one, then what is too many. */
function keepWithin(genes: Gene[], space: LayoutSpace, chance: Chance): void {
  const positions = space.unitsAt.length;
  let kept = 0;
  for (const gene of genes) {
    let free = true;
    for (let k = 0; k < kept; k++)
      if (space.clash[gene.position * positions + genes[k].position]) free = false;
    if (free) genes[kept++] = gene;
  }
  genes.length = kept;
  while (cabinetsOf(genes, space) > space.count[1]) genes.splice(below(chance, genes.length), 1);
}

function moved(position: number, space: LayoutSpace, chance: Chance): number {
  const near = space.neighbours[position];
  if (near.length === 0 || chance() < 0.3) return below(chance, space.unitsAt.length);
  return near[below(chance, near.length)];
}

/** Mostly a step or two away, sometimes anywhere. */
function stepped(at: number, count: number, chance: Chance): number {
  if (chance() < 0.25) return below(chance, count);
  const step = (1 + below(chance, 2)) * (chance() < 0.5 ? 1 : -1);
  return Math.min(count - 1, Math.max(0, at + step));
}

const below = (chance: Chance, n: number): number => Math.min(n - 1, Math.floor(chance() * n));

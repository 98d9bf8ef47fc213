/** Positions that a model leaves without any coherent sound of a group, and what stands in the way. */
import type { Response } from "../acoustics/response";
import type { Position } from "../survey/survey";
import type { Source, Venue } from "../venue/venue";
import { rectangle } from "./paths/rectangle";
import { meets } from "./paths/walls";

/** Relative to the middle one, by level, of the positions that sound reaches: 60 dB less, which neither distance nor direction makes. */
const SILENT = 1e-6;

/**
 * Says of each group which positions get none of its sound, neither direct nor by reflections.
 *
 * @param venue  the venue
 * @param positions  those of the survey
 * @param responses  what the model says of each group, in the order of the positions
 * @returns a sentence for each group and wall, none where all is well
 */
export function silentPositions(
  venue: Venue,
  positions: readonly Position[],
  responses: Readonly<Partial<Record<Source["group"], readonly Response[]>>>,
): string[] {
  return (["mains", "subs", "fills"] as const).flatMap((group) => {
    const sources = venue.sources.filter((source) => source.group === group);
    const power = (responses[group] ?? []).map(({ re, im }) =>
      re.reduce((sum, x, f) => sum + x * x + im[f] * im[f], 0),
    );
    if (sources.length === 0 || power.length === 0) return [];
    const reached = power.filter((p) => p > 0).sort((a, b) => a - b);
    const least = SILENT * (reached[reached.length >> 1] ?? 0);
    const silent = positions.filter((_, i) => power[i] === 0 || power[i] < least);
    const byWall = new Map<string | undefined, Position[]>();
    for (const position of silent) {
      const wall = inTheWay(venue, sources, position);
      byWall.set(wall, [...(byWall.get(wall) ?? []), position]);
    }
    return [...byWall].map(([wall, at]) => sentence(group, wall, at));
  });
}

/** The boundary that most straight lines from the sources to a position go through. */
function inTheWay(venue: Venue, sources: readonly Source[], { point }: Position): string | undefined {
  const counted = venue.boundaries.map(({ name, corners }) => {
    const r = rectangle(corners, `boundary "${name}"`);
    return { name, count: sources.filter((source) => meets(r, source.point, point, 0)).length };
  });
  return counted.filter((c) => c.count > 0).sort((a, b) => b.count - a.count)[0]?.name;
}

function sentence(group: string, wall: string | undefined, at: readonly Position[]): string {
  const others = at.length - 1;
  const more = others > 0 ? ` and ${others} other position${others > 1 ? "s" : ""}` : "";
  const why = wall === undefined ? "no boundary lies on the straight line" : `"${wall}" stands in the way`;
  return `no direct or reflected sound of the ${group} reaches "${at[0].id}"${more}: ${why}, and what is said of ${others > 0 ? "these positions" : "this position"} rests on the diffuse field alone`;
}

/**
 * Places in order of their distance from the middle of the stage edge, along the floor, and the colour that goes with it.
 */
import type { Position } from "../../../survey/survey";
import { distanceColour } from "./style";

/** A position with what a figure needs to draw it. */
export interface Placed {
  /** Index in the survey. */
  readonly index: number;
  readonly position: Position;
  /** metres from the middle of the stage edge, along the floor */
  readonly distance: number;
  /** House style colour: 0 nearest to 1 farthest of these positions. */
  readonly colour: string;
}

/**
 * Positions from near to far.
 *
 * @param positions  of a survey
 */
export function byDistance(positions: readonly Position[]): Placed[] {
  const distances = positions.map((p) => Math.hypot(p.point.x, p.point.y));
  const near = Math.min(...distances);
  const span = Math.max(...distances) - near;
  return positions
    .map((position, index) => ({
      index,
      position,
      distance: distances[index],
      colour: distanceColour(span > 0 ? (distances[index] - near) / span : 0),
    }))
    .sort((a, b) => a.distance - b.distance);
}

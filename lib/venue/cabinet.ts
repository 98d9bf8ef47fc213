import type { Cabinet } from "./venue";

/** What a source is, without where and how it plays. */
export function cabinetOf({ level, pattern, size, centre }: Cabinet): Cabinet {
  return { level, pattern, size, ...(centre !== undefined && { centre }) };
}

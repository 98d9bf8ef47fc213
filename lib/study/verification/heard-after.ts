/** What was recorded at each position after the setting had been entered. */
import type { Response } from "../../acoustics/response";

export interface HeardAfter {
  /** Id of the position. */
  readonly position: string;
  /** Mains and subs together, in the time of the mains before; absent where nothing could be used. */
  readonly response?: Response;
  /** By how much later the mains arrive than before, seconds; absent where their time is not known. */
  readonly later?: number;
  /** Why nothing could be used. */
  readonly problem?: string;
}

export interface AfterEntering {
  /** In the order of the survey's positions. */
  readonly positions: readonly HeardAfter[];
  /** What was used though it is odd, one sentence each. */
  readonly warnings: readonly string[];
}

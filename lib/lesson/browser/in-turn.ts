/** One drawing after the other, nearest to the view first: the first is seen, and the page answers, before all are done. */

const waiting = new Map<HTMLElement, () => void>();

/**
 * @param place  what is drawn, once; another `draw` for it takes the place of one that still waits
 * @param draw  called when its turn has come, and not at all where the page has meanwhile dropped it
 */
export function drawInTurn(place: HTMLElement, draw: () => void): void {
  waiting.set(place, draw);
  if (waiting.size === 1) setTimeout(drawNext);
}

function drawNext(): void {
  const [nearest] = [...waiting.keys()]
    .map((place) => ({ place, away: awayFromView(place) }))
    .sort((a, b) => a.away - b.away);
  if (!nearest) return;
  drawNow(nearest.place);
  setTimeout(drawNext);
}

function drawNow(place: HTMLElement): void {
  const draw = waiting.get(place);
  waiting.delete(place);
  if (place.isConnected) draw?.();
}

/** Pixels that a place lies below or above what is seen of the page. */
function awayFromView(place: HTMLElement): number {
  const { top, bottom } = place.getBoundingClientRect();
  return Math.max(0, top - window.innerHeight, -bottom);
}

// On paper all are wanted.
addEventListener("beforeprint", () => {
  for (const place of [...waiting.keys()]) drawNow(place);
});

/** Stepping from panel to panel with the arrow keys. */
import type { PanelPlace } from '#libs/elevation';

/** Nearest panel in the direction of an arrow key; undefined when the key is none or nothing is there. */
export function stepPanel(
  places: readonly PanelPlace[],
  from: string | null,
  key: string,
): string | undefined {
  const direction = {
    ArrowLeft: [-1, 0],
    ArrowRight: [1, 0],
    ArrowUp: [0, -1],
    ArrowDown: [0, 1],
  }[key];
  if (!direction) return undefined;
  const here = places.find((place) => place.mark === from);
  if (!here) return places[0]?.mark;
  const middle = (place: PanelPlace) => [
    (place.boundsMm.minX + place.boundsMm.maxX) / 2,
    (place.boundsMm.minY + place.boundsMm.maxY) / 2,
  ];
  const [x, y] = middle(here);
  let best: string | undefined;
  let least = Infinity;
  for (const place of places) {
    const [px, py] = middle(place);
    const along = (px! - x!) * direction[0]! + (py! - y!) * direction[1]!;
    const across = Math.abs((px! - x!) * direction[1]!) + Math.abs((py! - y!) * direction[0]!);
    if (along <= 1 || across > along * 1.5) continue;
    // Straight ahead is nearer than aslant.
    const cost = along + across * 2;
    if (cost < least) {
      least = cost;
      best = place.mark;
    }
  }
  return best;
}

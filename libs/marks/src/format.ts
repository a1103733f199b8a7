/** Writes marks: the canonical form, and the parts of it. */

import type { FittingMark, InPanelMark, Mark, OpeningMark, WindowMark } from './mark.js';
import { lightLetters, romanOf } from './roman.js';

/** The canonical text, e.g. `SLM:CH.nIII.A1.4`. */
export function formatMark(mark: Mark): string {
  const building = mark.unit === undefined ? mark.site : `${mark.site}:${mark.unit}`;
  const inner = formatInBuilding(mark);
  return inner === '' ? building : `${building}.${inner}`;
}

/** The mark from its building inwards, e.g. `wI.2b`; empty for a site or unit. */
export function formatInBuilding(mark: Mark): string {
  const parts: string[] = [];
  if (mark.window !== undefined) parts.push(formatWindow(mark.window));
  if (mark.light !== undefined) parts.push(lightLetters(mark.light));
  if (mark.opening !== undefined) parts.push(formatOpening(mark.opening));
  if (mark.inPanel !== undefined) parts.push(formatInPanel(mark.inPanel));
  if (mark.fitting !== undefined) parts.push(formatFitting(mark.fitting));
  return parts.join('.');
}

export function formatWindow(window: WindowMark): string {
  if (window.scheme === 'free') return window.name;
  const numeral = romanOf(window.number);
  if (window.side === 'axis') return numeral;
  if (window.storey === 'upper') return window.side.toUpperCase() + numeral;
  return window.side + (window.storey === 'middle' ? 't' : '') + numeral;
}

export function formatOpening(opening: OpeningMark): string {
  return opening.kind === 'panel'
    ? `${opening.row}${lightLetters(opening.light)}`
    : `${opening.row}${opening.number}`;
}

const SUFFIX = { replacement: 'r', shard: 's', plate: 'p' } as const;

export function formatInPanel(place: InPanelMark): string {
  switch (place.kind) {
    case 'piece':
      return String(place.number);
    case 'part':
      return `${place.number}${place.letter}`;
    case 'lead':
      return `L${place.number}`;
    case 'joint':
      return `J${place.number}`;
    default:
      return `${place.number}${SUFFIX[place.kind]}${place.index}`;
  }
}

export function formatFitting(fitting: FittingMark): string {
  return `${fitting.kind}-${fitting.number}`;
}

/**
 * The order in which a person walks round: by storey, side, number, row, column; never by text.
 *
 * A place stands before what it contains. In a window: lights, panels from the bottom row up and
 * left to right, tracery, then bars, ties and stones. In a panel: pieces with their parts,
 * replacements, shards and plates, then leads, then joints.
 */

import type { FittingMark, InPanelMark, Mark, OpeningMark, WindowMark } from './mark.js';

const STOREYS = ['ground', 'middle', 'upper'];
const SIDES = ['axis', 'n', 's', 'w'];
const SUFFIXES = ['part', 'replacement', 'shard', 'plate'];
const FITTINGS = ['bar', 'tie', 'stone'];

/** Negative, zero or positive as `a` stands before, at or after `b`; zero only for equal marks. */
export function compareMarks(a: Mark, b: Mark): number {
  return (
    compareNatural(a.site, b.site) ||
    compareNatural(a.unit ?? '', b.unit ?? '') ||
    compareOptional(a.window, b.window, compareWindows) ||
    compareKeys(placeKey(a), placeKey(b))
  );
}

export function compareWindows(a: WindowMark, b: WindowMark): number {
  if (a.scheme === 'free' || b.scheme === 'free') {
    if (a.scheme === 'free' && b.scheme === 'free') return compareNatural(a.name, b.name);
    return a.scheme === 'free' ? 1 : -1;
  }
  return (
    STOREYS.indexOf(a.storey) - STOREYS.indexOf(b.storey) ||
    SIDES.indexOf(a.side) - SIDES.indexOf(b.side) ||
    a.number - b.number
  );
}

/** Runs of digits by value, the rest by code unit: hall-2 before hall-10. Zero only for equal texts. */
export function compareNatural(a: string, b: string): number {
  const [left, right] = [a, b].map((text) => text.match(/\d+|\D/g) ?? []);
  const count = Math.min(left!.length, right!.length);
  for (let i = 0; i < count; i++) {
    const [x, y] = [left![i]!, right![i]!];
    const byValue = /^\d/.test(x) && /^\d/.test(y) ? Number(x) - Number(y) : 0;
    if (byValue !== 0) return byValue;
    if (x !== y) return x < y ? -1 : 1;
  }
  return left!.length - right!.length;
}

/** Place in a window as numbers that compare one after the other; a shorter key contains the longer. */
function placeKey({ light, opening, inPanel, fitting }: Mark): number[] {
  const key: number[] = [];
  if (light !== undefined) key.push(1, light);
  if (opening !== undefined) key.push(...openingKey(opening));
  if (inPanel !== undefined) key.push(...inPanelKey(inPanel));
  if (fitting !== undefined) key.push(...fittingKey(fitting));
  return key;
}

function openingKey(opening: OpeningMark): number[] {
  return opening.kind === 'panel'
    ? [2, opening.row, opening.light]
    : [3, opening.row.charCodeAt(0), opening.number];
}

function inPanelKey(place: InPanelMark): number[] {
  switch (place.kind) {
    case 'piece':
      return [1, place.number];
    case 'part':
      return [1, place.number, SUFFIXES.indexOf('part'), place.letter.charCodeAt(0)];
    case 'lead':
      return [2, place.number];
    case 'joint':
      return [3, place.number];
    default:
      return [1, place.number, SUFFIXES.indexOf(place.kind), place.index];
  }
}

function fittingKey(fitting: FittingMark): number[] {
  return [4, FITTINGS.indexOf(fitting.kind), fitting.number];
}

function compareKeys(a: readonly number[], b: readonly number[]): number {
  for (let i = 0; i < Math.min(a.length, b.length); i++) {
    if (a[i] !== b[i]) return a[i]! - b[i]!;
  }
  return a.length - b.length;
}

function compareOptional<T>(
  a: T | undefined,
  b: T | undefined,
  compare: (a: T, b: T) => number,
): number {
  if (a === undefined || b === undefined) return Number(a !== undefined) - Number(b !== undefined);
  return compare(a, b);
}

/**
 * The file form of a mark: for file names, object keys and addresses on systems that ignore case.
 *
 * Lower case, window numbers Arabic, the storey spelt: `slm.n2.2b.17`, `slm.upper-n2`,
 * `slm.mid-n2`, `slm.1` for the window on the axis; the unit after an underscore: `slm_ch.n3`.
 * Within one scheme it is a bijection (tested): every level has a shape of its own, so the letters
 * that lose their case can be told apart by where they stand.
 */

import { formatInBuilding } from './format.js';
import type { Mark, Scheme, WindowMark } from './mark.js';
import { readMark } from './parse.js';
import { MarkError, type MarkRefusal } from './refusal.js';
import { romanOf } from './roman.js';

export function fileForm(mark: Mark): string {
  const building = mark.unit === undefined ? mark.site : `${mark.site}_${mark.unit}`;
  if (mark.window === undefined) return building.toLowerCase();
  const { window, ...rest } = mark;
  const inner = formatInBuilding(rest);
  const parts = [building, windowFileForm(window), ...(inner === '' ? [] : [inner])];
  return parts.join('.').toLowerCase();
}

/** @throws MarkError when the text is not exactly what `fileForm` writes */
export function parseFileForm(text: string, scheme: Scheme): Mark {
  const [building, window, place, inner, ...more] = text.split('.');
  const parts = [building!.toUpperCase().replace('_', ':')];
  if (window !== undefined) parts.push(scheme === 'free' ? window : churchWindow(window));
  // Only these two lose a capital: tracery `a1`, and leads and joints `l12`, `j4`.
  if (place !== undefined) parts.push(/^[a-z]\d/.test(place) ? place.toUpperCase() : place);
  if (inner !== undefined) parts.push(/^[lj]\d/.test(inner) ? inner.toUpperCase() : inner);
  const reading = readMark([...parts, ...more].join('.'), scheme);
  if (!reading.ok) throw new MarkError(reading.refusal);
  if (fileForm(reading.value) !== text) throw new MarkError(notFileForm(text, reading.value));
  return reading.value;
}

function windowFileForm(window: WindowMark): string {
  if (window.scheme === 'free') return window.name;
  if (window.side === 'axis') return String(window.number);
  const storey = { ground: '', middle: 'mid-', upper: 'upper-' }[window.storey];
  return `${storey}${window.side}${window.number}`;
}

function churchWindow(text: string): string {
  const found = /^(upper-|mid-|)([nsw]?)([1-9]\d{0,3})$/.exec(text);
  if (found === null) return text;
  const [, storey, side, number] = found;
  const prefix =
    storey === 'upper-' ? side!.toUpperCase() : storey === 'mid-' ? `${side!}t` : side!;
  const value = Number(number);
  return prefix + (value <= 3999 ? romanOf(value) : number!);
}

function notFileForm(text: string, meant: Mark): MarkRefusal {
  return {
    part: 'mark',
    found: text,
    reason: `${JSON.stringify(text)} is not in file form; expected ${fileForm(meant)}`,
  };
}

/** Reads the window part of a mark. */

import type { Scheme, Side, Storey, WindowMark } from './mark.js';
import { accepted, type Reading, refused } from './refusal.js';
import { ROMAN_MAX, romanOf, romanValue } from './roman.js';

const SIDES: Record<string, { storey: Storey; side: Side }> = {
  '': { storey: 'ground', side: 'axis' },
  n: { storey: 'ground', side: 'n' },
  s: { storey: 'ground', side: 's' },
  w: { storey: 'ground', side: 'w' },
  nt: { storey: 'middle', side: 'n' },
  st: { storey: 'middle', side: 's' },
  N: { storey: 'upper', side: 'n' },
  S: { storey: 'upper', side: 's' },
};

/** Text already normalised and ASCII. */
export function readWindow(text: string, scheme: Scheme): Reading<WindowMark> {
  return scheme === 'church' ? readChurchWindow(text) : readFreeWindow(text);
}

function readFreeWindow(text: string): Reading<WindowMark> {
  if (/^[a-z][a-z0-9-]{0,10}[0-9]$/.test(text)) return accepted({ scheme: 'free', name: text });
  const isShort = text.length >= 2 && text.length <= 12;
  return refused(
    'window',
    text,
    !isShort
      ? `the window ${show(text)} has ${text.length} characters; a free window name has 2 to 12`
      : /[^a-z0-9-]/.test(text)
        ? `the window ${show(text)}: a free window name has only a-z, 0-9 and -`
        : !/^[a-z]/.test(text)
          ? `the window ${show(text)}: a free window name starts with a letter`
          : `the window ${show(text)}: a free window name ends with a digit, as in hall-2`,
  );
}

function readChurchWindow(text: string): Reading<WindowMark> {
  const found = /^(nt|st|[nsNSw]?)([IVXLCDM]+|\d+)$/.exec(text);
  const prefix = found?.[1];
  const numeral = found?.[2];
  const place = prefix === undefined ? undefined : SIDES[prefix];
  if (place === undefined || numeral === undefined)
    return refused('window', text, churchReason(text));
  if (/^0/.test(numeral)) {
    return refused('window', text, `the window ${show(text)}: no leading zeros`);
  }
  const isArabic = /^\d/.test(numeral);
  const number = isArabic ? Number(numeral) : romanValue(numeral);
  if (number === undefined || number > ROMAN_MAX) {
    return refused(
      'window',
      text,
      isArabic
        ? `the window ${show(text)}: numbers go up to ${ROMAN_MAX}`
        : `the window ${show(text)}: ${numeral} is no canonical Roman numeral${insteadOf(numeral)}`,
    );
  }
  if (place.side === 'axis' && number !== 1) {
    return refused(
      'window',
      text,
      `the window ${show(text)} has no side: only I stands on the axis; write n${romanOf(number)} or s${romanOf(number)}`,
    );
  }
  if ((place.side === 'n' || place.side === 's') && number === 1) {
    return refused(
      'window',
      text,
      `there is no window ${show(text)}: I is the window on the axis, the sides count from II`,
    );
  }
  return accepted({ scheme: 'church', ...place, number });
}

function churchReason(text: string): string {
  if (text === '') return 'the window is missing between two dots';
  if (text === 'w') return 'the window w has no number: the west window on the axis is wI';
  if (text in SIDES) return `the window ${show(text)} has no number`;
  if (/^(nt|st|[nsw])[ivxlcdm]+$/i.test(text)) {
    return `the window ${show(text)}: the side keeps its case (n ground storey, N upper storey) and the numeral is in capitals, as in nII`;
  }
  return `the window ${show(text)} is none of I, nII, sII (ground storey), ntII, stII (middle), NII, SII (upper), wI (west)`;
}

/** Repeats of a letter added up: IIII is meant as IV. */
function insteadOf(numeral: string): string {
  const values: Record<string, number> = { I: 1, V: 5, X: 10, L: 50, C: 100, D: 500, M: 1000 };
  const sum = numeral.split('').reduce((total, letter) => total + values[letter]!, 0);
  return /^(.)\1+$/.test(numeral) && sum <= ROMAN_MAX ? `; ${sum} is ${romanOf(sum)}` : '';
}

function show(text: string): string {
  return JSON.stringify(text);
}

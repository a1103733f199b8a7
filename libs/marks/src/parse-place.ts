/** Reads the parts of a mark inside a window: light, panel, tracery, fitting, and what lies in a panel. */

import type { FittingKind, FittingMark, InPanelMark, OpeningMark } from './mark.js';
import { accepted, type Reading, refused } from './refusal.js';
import { lightNumber } from './roman.js';

const NUMBER = '[1-9]\\d{0,4}';
const PANEL = new RegExp(`^(${NUMBER})([a-z]{1,2})$`);
const TRACERY = new RegExp(`^([A-Z])(${NUMBER})$`);
const PIECE = new RegExp(`^(${NUMBER})(?:([a-z])(${NUMBER})?)?$`);
const LEAD_OR_JOINT = new RegExp(`^([LJ])(${NUMBER})$`);
const FITTING = new RegExp(`^(bar|tie|stone)-(${NUMBER})$`);

const INDEXED = { r: 'replacement', s: 'shard', p: 'plate' } as const;

/** `2b` or `A1`; text already normalised and ASCII. */
export function readOpening(text: string): Reading<OpeningMark> {
  const panel = PANEL.exec(text);
  if (panel !== null) {
    return accepted({ kind: 'panel', row: Number(panel[1]), light: lightNumber(panel[2]!)! });
  }
  const tracery = TRACERY.exec(text);
  if (tracery !== null) {
    return accepted({ kind: 'tracery', row: tracery[1]!, number: Number(tracery[2]) });
  }
  return refused('panel', text, openingReason(text));
}

/** `17`, `17a`, `17r2`, `17s3`, `17p1`, `L12` or `J4`; text already normalised and ASCII. */
export function readInPanel(text: string): Reading<InPanelMark> {
  const other = LEAD_OR_JOINT.exec(text);
  if (other !== null) {
    return accepted({ kind: other[1] === 'L' ? 'lead' : 'joint', number: Number(other[2]) });
  }
  const piece = PIECE.exec(text);
  if (piece === null) return refused('piece', text, inPanelReason(text));
  const [, numberText, letter, indexText] = piece;
  const number = Number(numberText);
  if (letter === undefined) return accepted({ kind: 'piece', number });
  if (indexText === undefined) return accepted({ kind: 'part', number, letter });
  const kind = INDEXED[letter as keyof typeof INDEXED] as (typeof INDEXED)['r'] | undefined;
  if (kind === undefined) {
    return refused(
      'piece',
      text,
      `${show(text)}: before a number stands r (replacement), s (shard) or p (plate), not ${letter}`,
    );
  }
  return accepted({ kind, number, index: Number(indexText) });
}

/** `bar-2`, `tie-5` or `stone-1`; text already normalised and ASCII. */
export function readFitting(text: string): Reading<FittingMark> {
  const found = FITTING.exec(text);
  if (found !== null) return accepted({ kind: found[1] as FittingKind, number: Number(found[2]) });
  return refused(
    'fitting',
    text,
    `${show(text)} is none of bar-2, tie-5, stone-1 (a number from 1, no leading zeros)`,
  );
}

export function looksLikeFitting(text: string): boolean {
  return /^(bar|tie|stone)(-|\d|$)/i.test(text);
}

function openingReason(text: string): string {
  if (text === '') return 'the panel is missing after the dot';
  if (/^0/.test(text) || /^[A-Z]0/.test(text))
    return `the panel ${show(text)}: rows and numbers count from 1, without leading zeros`;
  if (/^\d+$/.test(text))
    return `the panel ${show(text)} has no light: row from the bottom, then the light's letter, as in 2b`;
  if (/^\d+[A-Z]{1,2}$/.test(text))
    return `the panel ${show(text)}: lights have small letters, as in ${text.toLowerCase()}`;
  if (/^\d+[a-z]{3,}$/.test(text)) return `the panel ${show(text)}: after light z come aa to zz`;
  if (/^[A-Z]$/.test(text))
    return `the tracery row ${text} has no number: openings count from the left, as in ${text}1`;
  if (/^[a-z]\d+$/.test(text))
    return `${show(text)}: tracery rows have capital letters, as in ${text.toUpperCase()}; a panel is its row, then the light`;
  return `${show(text)} is neither a panel (row and light, 2b) nor a tracery opening (row and number, A1) nor a bar, tie or stone`;
}

function inPanelReason(text: string): string {
  if (text === '') return 'the piece is missing after the dot';
  if (/^[LJ]?0/.test(text) || /^\d+[a-z]0/.test(text))
    return `${show(text)}: numbers count from 1, without leading zeros`;
  if (/^[lj]\d+$/.test(text))
    return `${show(text)}: leads and joints have capitals, as in ${text.toUpperCase()}`;
  if (/^\d{6,}/.test(text)) return `${show(text)}: numbers have at most five digits`;
  if (/^\d+[a-z]\d*[a-z]/.test(text))
    return `${show(text)}: a piece has one suffix: a part (17a), a replacement (17r2), a shard (17s3) or a plate (17p1)`;
  if (/^\d+[A-Z]/.test(text)) return `${show(text)}: suffixes are small letters`;
  return `${show(text)} is none of 17 (piece), 17a (part), 17r2 (replacement), 17s3 (shard), 17p1 (plate), L12 (lead), J4 (joint)`;
}

function show(text: string): string {
  return JSON.stringify(text);
}

/** Reads marks, whole or from a known building or window inwards. The grammar stands in `mark.ts`. */

import type { InPanelMark, Mark, OpeningMark, Scheme, WindowMark } from './mark.js';
import { looksLikeFitting, readFitting, readInPanel, readOpening } from './parse-place.js';
import { readWindow } from './parse-window.js';
import { accepted, MarkError, type Reading, refused } from './refusal.js';
import { lightNumber } from './roman.js';

const LONGEST = 64;

/**
 * Reads a whole mark.
 *
 * Full-width and other compatibility forms are folded (NFKC); what is then not ASCII is refused,
 * since a Cyrillic letter that looks like ours would name a place of its own.
 * @param scheme of the site (`siteOf` finds which site is meant)
 */
export function readMark(text: string, scheme: Scheme): Reading<Mark> {
  const plain = plainText(text);
  if (!plain.ok) return plain;
  const [building, ...inner] = plain.value.split('.');
  const site = readBuilding(building!);
  return site.ok ? readInner(site.value, inner, scheme) : site;
}

/** As `readMark`. @throws MarkError with the refusal */
export function parseMark(text: string, scheme: Scheme): Mark {
  return valueOf(readMark(text, scheme));
}

/** The building of a mark: enough to look up which scheme its windows follow. */
export function readBuildingOf(text: string): Reading<Pick<Mark, 'site' | 'unit'>> {
  const plain = plainText(text);
  return plain.ok ? readBuilding(plain.value.split('.')[0]!) : plain;
}

/** Reads a mark written from its building inwards, e.g. `wI.2b` in SLM; empty for the building itself. */
export function readMarkIn(
  building: Pick<Mark, 'site' | 'unit'>,
  text: string,
  scheme: Scheme,
): Reading<Mark> {
  if (text.trim() === '') return accepted(building);
  const plain = plainText(text);
  return plain.ok ? readInner(building, plain.value.split('.'), scheme) : plain;
}

export function parseWindow(text: string, scheme: Scheme): WindowMark {
  return valueOf(then(plainText(text), (plain) => readWindow(plain, scheme)));
}

/** A panel (`2b`) or tracery opening (`A1`). @throws MarkError */
export function parseOpening(text: string): OpeningMark {
  return valueOf(then(plainText(text), readOpening));
}

/** What lies in a panel: `17`, `17a`, `L12`, `J4` … @throws MarkError */
export function parseInPanel(text: string): InPanelMark {
  return valueOf(then(plainText(text), readInPanel));
}

function readBuilding(text: string): Reading<Pick<Mark, 'site' | 'unit'>> {
  const [site, unit, ...more] = text.split(':');
  if (!/^[A-Z0-9]{2,8}$/.test(site!)) {
    return refused(
      'site',
      site!,
      site === ''
        ? 'the site is missing: a mark starts with its code, as in SLM.wI.2b'
        : `the site ${JSON.stringify(site)}: 2 to 8 capitals or digits, as in SLM; parts are separated by dots`,
    );
  }
  if (unit === undefined) return accepted({ site: site! });
  if (more.length > 0 || !/^[A-Z0-9]{1,8}$/.test(unit)) {
    return refused(
      'unit',
      [unit, ...more].join(':'),
      `the unit ${JSON.stringify([unit, ...more].join(':'))}: 1 to 8 capitals or digits, as in SLM:CH`,
    );
  }
  return accepted({ site: site!, unit });
}

function readInner(
  building: Pick<Mark, 'site' | 'unit'>,
  parts: readonly string[],
  scheme: Scheme,
): Reading<Mark> {
  const [windowText, placeText, innerText, ...more] = parts;
  if (windowText === undefined) return accepted(building);
  const window = readWindow(windowText, scheme);
  if (!window.ok) return window;
  const inWindow: Mark = { ...building, window: window.value };
  if (placeText === undefined) return accepted(inWindow);
  if (more.length > 0) {
    return refused(
      'mark',
      more.join('.'),
      `nothing follows ${JSON.stringify(innerText)}: found ${JSON.stringify(more.join('.'))}`,
    );
  }
  if (looksLikeFitting(placeText)) {
    if (innerText !== undefined) {
      return refused(
        'mark',
        innerText,
        `nothing follows a bar, tie or stone: found ${JSON.stringify(innerText)}`,
      );
    }
    return then(readFitting(placeText), (fitting) => accepted({ ...inWindow, fitting }));
  }
  const light = lightNumber(placeText);
  if (light !== undefined) {
    if (innerText === undefined) return accepted({ ...inWindow, light });
    return then(readFitting(innerText), (fitting) => accepted({ ...inWindow, light, fitting }));
  }
  return then(readOpening(placeText), (opening) => {
    if (innerText === undefined) return accepted<Mark>({ ...inWindow, opening });
    return then(readInPanel(innerText), (inPanel) =>
      accepted<Mark>({ ...inWindow, opening, inPanel }),
    );
  });
}

function plainText(text: string): Reading<string> {
  const plain = text.normalize('NFKC').trim();
  if (plain === '') return refused('mark', text, 'the mark is empty');
  if (plain.length > LONGEST) {
    return refused(
      'mark',
      plain.slice(0, LONGEST),
      `a mark has at most ${LONGEST} characters, this has ${plain.length}`,
    );
  }
  const stranger = /[^\x21-\x7e]/u.exec(plain)?.[0];
  if (stranger !== undefined) {
    const code = `U+${stranger.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`;
    return refused(
      'mark',
      stranger,
      /\s/u.test(stranger)
        ? 'a mark has no spaces inside; its parts are separated by dots, as in SLM.wI.2b'
        : `${JSON.stringify(stranger)} (${code}) is no letter of a mark, whatever it looks like: only plain A-Z, a-z, 0-9`,
    );
  }
  if (plain.includes('/')) {
    return refused('mark', '/', 'the parts of a mark are separated by dots, as in SLM.wI.2b');
  }
  return accepted(plain);
}

function then<T, U>(reading: Reading<T>, next: (value: T) => Reading<U>): Reading<U> {
  return reading.ok ? next(reading.value) : reading;
}

function valueOf<T>(reading: Reading<T>): T {
  if (!reading.ok) throw new MarkError(reading.refusal);
  return reading.value;
}

/**
 * How this browser is spoken to: its language, how days are written, the unit of lengths and the ground
 * that everything lies on. Kept in
 * this browser; another choice opens the page anew, because words stand in constants too.
 */
import { LANGUAGES, type Language } from './tongue.js';

export interface Manner {
  readonly language: Language;
  /** 'local': as the language writes a day; 'iso': 2019-05-12 (ISO 8601) */
  readonly days: 'local' | 'iso';
  /** of sizes, lengths and areas that are shown; what is typed, kept and written to files is in mm */
  readonly lengths: 'mm' | 'inch';
  /** what everything lies on; 'device': dark or light, as the device asks */
  readonly ground: Ground;
}

export const GROUNDS = ['device', 'dark', 'light', 'light-table'] as const;
export type Ground = (typeof GROUNDS)[number];

const PLACE = 'mullion manner';

/** The first of a person's languages that Mullion speaks; English when it speaks none of them. */
export function firstSpoken(wanted: readonly string[]): Language {
  for (const tag of wanted) {
    const known = LANGUAGES.find(([language]) => tag.toLowerCase().split('-')[0] === language);
    if (known) return known[0];
  }
  return 'en';
}

/** What cannot be read is as if it was never chosen. */
export function readManner(kept: string | null, wanted: readonly string[]): Manner {
  let said: Partial<Record<keyof Manner, unknown>> = {};
  try {
    said = (JSON.parse(kept ?? '{}') as typeof said | null) ?? {};
  } catch {
    // as if nothing was kept
  }
  return {
    language:
      LANGUAGES.find(([language]) => language === said.language)?.[0] ?? firstSpoken(wanted),
    days: said.days === 'iso' ? 'iso' : 'local',
    lengths: said.lengths === 'inch' ? 'inch' : 'mm',
    ground: GROUNDS.find((ground) => ground === said.ground) ?? 'device',
  };
}

let inForce: Manner | null = null;

/** The manner of this page; outside a browser that of an English one. */
export function manner(): Manner {
  inForce ??=
    typeof window === 'undefined'
      ? readManner(null, [])
      : readManner(keptText(), window.navigator.languages);
  return inForce;
}

/** Keeps the choice and opens the page again in it. */
export function choose(change: Partial<Manner>): void {
  try {
    window.localStorage.setItem(PLACE, JSON.stringify({ ...manner(), ...change }));
  } catch {
    // A browser that keeps nothing stays as it is.
  }
  window.location.reload();
}

function keptText(): string | null {
  try {
    return window.localStorage.getItem(PLACE);
  } catch {
    return null;
  }
}

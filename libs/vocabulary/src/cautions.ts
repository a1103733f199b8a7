/**
 * Cautions, shown where the act happens.
 *
 * A figure is printed only when a jurisdiction is chosen and the figure was seen in its published
 * source; each carries the source and until when it was checked. Everything else has words only.
 */
export type Jurisdiction = 'US' | 'UK' | 'EU';

export interface CautionFigure {
  readonly jurisdiction: Jurisdiction;
  readonly text: string;
  readonly source: string;
  /** Month in which the source was read. */
  readonly checked: string;
  /** Last day it is known to hold; null when no end is announced. */
  readonly validUntil: string | null;
}

export interface Caution {
  readonly key: string;
  /** For whom: the person at work, or the object. */
  readonly protects: 'person' | 'object';
  readonly hazard: string;
  readonly text: string;
  readonly figures: readonly CautionFigure[];
}

/** Ends every caution. */
export const DEFERRAL =
  'These words and figures help you prepare. The law where you work, the safety data sheet and the ' +
  'judgement of a licensed or competent person who has seen the place come before them; loads, ' +
  'access and health are theirs to decide, not this program’s.';

/** Ends every structural figure. */
export const STRUCTURAL_DEFERRAL =
  'An aid to judgement under the assumptions stated; a structural engineer decides.';

const CHECKED = '2026-11';

export const CAUTIONS: readonly Caution[] = [
  {
    key: 'lead-dust',
    protects: 'person',
    hazard: 'lead dust and fume',
    text: 'Old came sheds dust and soldering gives off fume. Extraction at the bench, gloves, damp wiping or a HEPA vacuum and never a dry brush; clothes stay at work, wash before food.',
    figures: [
      {
        jurisdiction: 'US',
        text: 'lead in air, 8 h mean: action level 30 µg/m³, limit 50 µg/m³; on a day longer than 8 h the limit is 400 divided by the hours',
        source: '29 CFR 1910.1025 (general industry)',
        checked: CHECKED,
        validUntil: null,
      },
      {
        jurisdiction: 'UK',
        text: 'lead in air, 8 h mean: 0.15 mg/m³',
        source: 'Health and Safety Executive, lead at work',
        checked: CHECKED,
        validUntil: null,
      },
      {
        jurisdiction: 'EU',
        text: 'lead in air, 8 h mean: 0.03 mg/m³',
        source: 'Directive (EU) 2024/869',
        checked: CHECKED,
        validUntil: null,
      },
    ],
  },
  {
    key: 'hydrofluoric-acid',
    protects: 'person',
    hazard: 'hydrofluoric acid',
    text: 'A small splash on the skin can kill hours later without pain at first. Only in a licensed workshop, never alone, with calcium gluconate gel at hand and a hospital told beforehand. Never on historic glass.',
    figures: [],
  },
  {
    key: 'asbestos-putty',
    protects: 'person',
    hazard: 'asbestos in old putty',
    text: 'Putty and mastic of the last century may hold asbestos. Have a sample tested before any dry work on it; until then wet, by hand, no grinding.',
    figures: [],
  },
  {
    key: 'height',
    protects: 'person',
    hazard: 'working at height',
    text: 'Scaffold or platform set up and signed off by a competent person; never lean on the glazing, never work under an open panel.',
    figures: [],
  },
  {
    key: 'open-opening',
    protects: 'person',
    hazard: 'an open opening',
    text: 'Wind and rain come in, a sheet or board that works loose falls on whoever passes below, and people and birds get in. Fix it so that a storm does not move it, to the frame and not to glass that stays; keep the way below closed while it is worked on; look at it after every storm.',
    figures: [],
  },
  {
    key: 'lifting',
    protects: 'person',
    hazard: 'lifting and breaking panels',
    text: 'Carry a panel on edge, on a board, by two people; cut-resistant gloves and eye protection; nobody stands under a loose panel.',
    figures: [],
  },
  {
    key: 'broken-glass',
    protects: 'person',
    hazard: 'broken glass',
    text: 'Cut-resistant gloves and eye protection; keep every shard with its number.',
    figures: [],
  },
  {
    key: 'kiln',
    protects: 'person',
    hazard: 'kiln',
    text: 'Fumes of glass paint hold lead and sometimes cadmium: extract them, no food near; hot surfaces, eye protection.',
    figures: [],
  },
  {
    key: 'solvents',
    protects: 'person',
    hazard: 'solvents',
    text: 'Read the flash point on the safety data sheet; ventilate, small quantities, no flame, closed waste.',
    figures: [],
  },
  {
    key: 'adhesives',
    protects: 'person',
    hazard: 'resins and adhesives',
    text: 'Uncured epoxy and some hardeners make the skin sensitive for life: nitrile gloves, no vapour. Silicone that smells of vinegar corrodes lead: neutral cure only.',
    figures: [
      {
        jurisdiction: 'EU',
        text: 'isocyanates, 8 h mean: 10 µg NCO/m³, 6 µg from 2029; short term 20, then 12 µg NCO/m³',
        source: 'Directive (EU) 2024/869',
        checked: CHECKED,
        validUntil: '2028-12-31',
      },
    ],
  },
  {
    key: 'ultraviolet',
    protects: 'person',
    hazard: 'ultraviolet lamps',
    text: 'Cover eyes and skin; nobody looks into the lamp or its reflection in the glass.',
    figures: [],
  },
  {
    key: 'loose-paint',
    protects: 'object',
    hazard: 'rubbing over loose paint',
    text: 'Test the paint first. Leave out or cover what is loose; rub on the unpainted face, with the panel supported, or do not rub and say why.',
    figures: [],
  },
  {
    key: 'untested-paint',
    protects: 'object',
    hazard: 'wiping untested paint',
    text: 'No wiping, wet or dry, before the paint at that place has been tested; stop where the test stops.',
    figures: [],
  },
  {
    key: 'tape-on-paint',
    protects: 'object',
    hazard: 'tape on painted glass',
    text: 'Tape goes on lead or on bare glass only; it lifts paint.',
    figures: [],
  },
  {
    key: 'firing-originals',
    protects: 'object',
    hazard: 'firing original glass',
    text: 'Firing an original again changes it for ever and may break it. It is never routine: a written reason and a consent that names it come first.',
    figures: [],
  },
  {
    key: 'original-glass',
    protects: 'object',
    hazard: 'work on original glass that cannot be undone',
    text: 'What is painted, ground or etched on an original stays. Use a plate or a piece that can be taken out again, or state the reason and have it consented.',
    figures: [],
  },
  {
    key: 'bulged-panel',
    protects: 'object',
    hazard: 'pressing a bulged panel flat',
    text: 'Old lead and brittle glass do not give together: soften, weight slowly, watch each crack; stop when a piece binds.',
    figures: [],
  },
];

const BY_KEY = new Map(CAUTIONS.map((caution) => [caution.key, caution]));

/** Cautions by key, in the order given; unknown keys are a bug. */
export function cautionsFor(keys: readonly string[]): Caution[] {
  return keys.map((key) => {
    const caution = BY_KEY.get(key);
    if (caution === undefined) throw new Error(`no caution "${key}"`);
    return caution;
  });
}

/**
 * A caution as it is printed: words, then figures of the chosen jurisdiction that still hold.
 *
 * @param today ISO date; figures whose `validUntil` lies before it are left out
 */
export function cautionText(
  caution: Caution,
  jurisdiction: Jurisdiction | null,
  today: string,
): string {
  const figures = caution.figures
    .filter(
      (figure) =>
        figure.jurisdiction === jurisdiction &&
        (figure.validUntil === null || figure.validUntil >= today),
    )
    .map(
      ({ text, source, checked, validUntil }) =>
        `${text} (${source}; checked ${checked}${validUntil === null ? '' : `, holds until ${validUntil}`})`,
    );
  return [caution.text, ...figures.map((figure) => `${sentence(figure)}.`)].join(' ');
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

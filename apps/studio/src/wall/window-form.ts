/** The form of a window: everything as typed, so that nothing jumps while one types. */

import { say } from '../platform/language/say.js';
import { readNumber } from '../platform/NumberField.js';
import type { OpeningKind, OpeningPlan, WindowPlan } from './plan-window.js';

export interface OpeningForm {
  readonly kind: OpeningKind;
  readonly width: string;
  readonly height: string;
  readonly spring: string;
  /** corners of a free shape: 'x y' pairs with commas */
  readonly ring: string;
}

export interface TraceryForm {
  readonly mark: string;
  readonly opening: OpeningForm;
  readonly x: string;
  readonly height: string;
}

export interface WindowForm {
  readonly opening: OpeningForm;
  readonly lights: string;
  readonly mullion: string;
  readonly light: OpeningForm;
  readonly rows: string;
  readonly bars: string;
  readonly tracery: readonly TraceryForm[];
}

export const emptyOpening: OpeningForm = {
  kind: 'pointed',
  width: '',
  height: '',
  spring: '',
  ring: '',
};
export const emptyForm: WindowForm = {
  opening: emptyOpening,
  lights: '1',
  mullion: '120',
  light: { ...emptyOpening, kind: 'round-headed' },
  rows: '3',
  bars: '',
  tracery: [],
};

export function planOfForm(form: WindowForm): WindowPlan | { readonly missing: string } {
  const opening = readOpening(form.opening, say('the opening'));
  if ('missing' in opening) return opening;
  const lights = readNumber(form.lights) ?? 0;
  if (!Number.isInteger(lights) || lights < 1 || lights > 26)
    return { missing: say('how many lights (1 to 26)') };
  const light = lights > 1 ? readOpening(form.light, say('a light')) : opening;
  if ('missing' in light) return light;
  const rows = numbers(form.rows);
  if (!rows || rows.length === 0) return { missing: say('the rows of panels') };
  const only = rows.length === 1 ? rows[0]! : null;
  if (only !== null && (only < 1 || only > 99)) return { missing: say('how many rows (1 to 99)') };
  const barHeightsMm = numbers(form.bars);
  if (!barHeightsMm) return { missing: say('the heights of the bars') };
  const tracery: WindowPlan['tracery'][number][] = [];
  for (const item of form.tracery) {
    const shape = readOpening(item.opening, say('opening {mark}', { mark: item.mark }));
    if ('missing' in shape) return shape;
    const [middleXMm, middleHeightMm] = [readNumber(item.x), readNumber(item.height)];
    if (middleXMm === undefined || middleHeightMm === undefined)
      return { missing: say('where opening {mark} lies', { mark: item.mark }) };
    tracery.push({ mark: item.mark, opening: shape, middleXMm, middleHeightMm });
  }
  return {
    opening,
    lights,
    mullionMm: readNumber(form.mullion) ?? 0,
    light,
    rows: only ?? rows,
    tracery,
    barHeightsMm,
  };
}

export function formOf(plan: WindowPlan): WindowForm {
  return {
    opening: openingForm(plan.opening),
    lights: String(plan.lights),
    mullion: String(plan.mullionMm),
    light: openingForm(plan.light),
    rows: typeof plan.rows === 'number' ? String(plan.rows) : plan.rows.join(', '),
    bars: plan.barHeightsMm.join(', '),
    tracery: plan.tracery.map((item) => ({
      mark: item.mark,
      opening: openingForm(item.opening),
      x: String(item.middleXMm),
      height: String(item.middleHeightMm),
    })),
  };
}

const openingForm = (plan: OpeningPlan): OpeningForm => ({
  kind: plan.kind,
  width: String(plan.widthMm),
  height: String(plan.heightMm),
  spring: String(plan.springMm),
  ring: plan.ringMm.map(([x, y]) => `${x} ${y}`).join(', '),
});

function readOpening(form: OpeningForm, name: string): OpeningPlan | { readonly missing: string } {
  if (form.kind === 'polygon') {
    const ringMm = form.ring
      .split(/[,;\n]/)
      .map((pair) => pair.trim().split(/\s+/).map(Number))
      .filter((pair): pair is [number, number] => pair.length === 2 && pair.every(Number.isFinite));
    if (ringMm.length < 3) return { missing: say('three or more corners of {name}', { name }) };
    return { kind: form.kind, widthMm: 0, heightMm: 0, springMm: 0, ringMm };
  }
  const widthMm = readNumber(form.width);
  const heightMm = form.kind === 'circular' ? widthMm : readNumber(form.height);
  const springMm = form.kind === 'pointed' ? readNumber(form.spring) : 0;
  if (widthMm === undefined || widthMm <= 0)
    return {
      missing: say('the {kind} of {name}', {
        kind: form.kind === 'circular' ? say('diameter') : say('width'),
        name,
      }),
    };
  if (heightMm === undefined || heightMm <= 0)
    return { missing: say('the height of {name}', { name }) };
  if (springMm === undefined) return { missing: say('the springing line of {name}', { name }) };
  return { kind: form.kind, widthMm, heightMm, springMm, ringMm: [] };
}

function numbers(text: string): readonly number[] | undefined {
  const parts = text.split(/[,;]/).filter((part) => part.trim() !== '');
  const read = parts.map(readNumber);
  return read.every((value) => value !== undefined) ? read : undefined;
}

/** How a piece is made, as it is being typed: texts until it is kept. */
import type { Technique, TechniqueBody } from '../platform/api/techniques.js';
import { say } from '../platform/language/say.js';
import { numberGiven } from '../platform/NumberField.js';

type Said = Technique['said'];
type SaidLayer = Said['layers'][number];
type SaidGlass = Extract<SaidLayer, { is: 'glass' }>;
type BodyLayer = NonNullable<TechniqueBody['layers']>[number];
export type Face = 'inside' | 'outside';

/** Something on or in one face: paint, stain, an etched place. */
export interface OnFace {
  readonly how: string;
  readonly face: Face;
  /** mm of what was taken off; colour of what was laid on */
  readonly what: string;
  readonly note: string;
  readonly coats?: number | undefined;
}

export interface Gauged {
  readonly xyMm: readonly [number, number];
  readonly thicknessMm: number;
}

export interface LayerDraft {
  readonly is: 'glass' | 'interlayer';
  readonly glass: string;
  readonly colour: string;
  readonly texture: string;
  readonly thickness: string;
  readonly flashFace: Face | null;
  readonly flashColour: string;
  readonly gauged: readonly Gauged[];
  readonly worked: readonly OnFace[];
  readonly painted: readonly OnFace[];
  readonly material: string;
  readonly density: string;
}

export interface GenerationDraft {
  readonly mark: string;
  readonly reason: string;
  readonly happened: string;
  readonly byRole: string;
  readonly fate: string;
  readonly fateNote: string;
}

export interface TechniqueDraft {
  readonly held: string;
  readonly foilWidth: string;
  readonly layers: readonly LayerDraft[];
  readonly generations: readonly GenerationDraft[];
  readonly note: string;
}

export const EMPTY_LAYER: LayerDraft = {
  is: 'glass',
  glass: '',
  colour: '',
  texture: '',
  thickness: '',
  flashFace: null,
  flashColour: '',
  gauged: [],
  worked: [],
  painted: [],
  material: '',
  density: '',
};

export const EMPTY_GENERATION: GenerationDraft = {
  mark: '',
  reason: '',
  happened: '',
  byRole: '',
  fate: '',
  fateNote: '',
};

/** A second glass with what lies between; the first of a piece comes alone. */
export function withGlass(layers: readonly LayerDraft[], isLaminated: boolean): LayerDraft[] {
  const between: LayerDraft[] =
    isLaminated && layers.length > 0
      ? [{ ...EMPTY_LAYER, is: 'interlayer', material: say('silicone') }]
      : [];
  return [...layers, ...between, EMPTY_LAYER];
}

/** Without one layer, and without an interlayer that lies between nothing any more. */
export function withoutLayer(layers: readonly LayerDraft[], at: number): LayerDraft[] {
  const left = layers.filter((_, i) => i !== at);
  return left.filter(
    ({ is }, i) => is === 'glass' || (left[i - 1]?.is === 'glass' && left[i + 1]?.is === 'glass'),
  );
}

/** front, middle or back among several glasses; null where there is one, or of what lies between. */
export function placeOfGlass(
  layers: readonly LayerDraft[],
  at: number,
): 'front' | 'middle' | 'back' | null {
  const glasses = layers.flatMap(({ is }, i) => (is === 'glass' ? [i] : []));
  if (layers[at]?.is !== 'glass' || glasses.length < 2) return null;
  return at === glasses[0] ? 'front' : at === glasses.at(-1) ? 'back' : 'middle';
}

export function draftOf(said: Said | undefined): TechniqueDraft {
  return {
    held: said?.held?.by ?? '',
    foilWidth: text(said?.held?.foilWidthMm),
    layers: (said?.layers ?? []).map(layerDraft),
    generations: (said?.generations ?? []).map(({ mark, reason, happened, byRole, original }) => ({
      mark: mark ?? '',
      reason,
      happened: happened ?? '',
      byRole: byRole ?? '',
      fate: original.fate,
      fateNote: original.note ?? '',
    })),
    note: said?.note ?? '',
  };
}

function layerDraft(layer: SaidLayer): LayerDraft {
  const common = { ...EMPTY_LAYER, density: text(layer.densityGCm3) };
  if (layer.is === 'interlayer')
    return {
      ...common,
      is: 'interlayer',
      material: layer.material,
      thickness: text(layer.thicknessMm),
    };
  return {
    ...common,
    glass: layer.glass ?? '',
    colour: layer.colour ?? '',
    texture: layer.texture ?? '',
    thickness: text(layer.thicknessMm),
    flashFace: layer.flash?.face ?? null,
    flashColour: layer.flash?.colour ?? '',
    gauged: layer.gauged ?? [],
    worked: (layer.worked as SaidGlass['worked'] & readonly { depthMm?: number }[]).map(
      ({ how, face, depthMm, note }) => ({ how, face, what: text(depthMm), note: note ?? '' }),
    ),
    painted: layer.painted.map(({ how, face, colour, note, coats }) => ({
      how,
      face,
      what: colour ?? '',
      note: note ?? '',
      coats,
    })),
  };
}

/** @throws Error with a sentence for the person when something typed is no number, or says nothing */
export function bodyOf(draft: TechniqueDraft, happened: string): TechniqueBody {
  const { held, layers, generations, note } = draft;
  const foilWidthMm = held === 'copper-foil' ? numberGiven(draft.foilWidth) : undefined;
  if (generations.some(({ reason, fate }) => reason === '' || fate === ''))
    throw new Error(say('Say of each glass before why it was taken out, and where it went.'));
  if (layers.some(({ is, material }) => is === 'interlayer' && material === ''))
    throw new Error(say('Say what lies between the two glasses.'));
  if (layers.some(({ worked, painted }) => [...worked, ...painted].some(({ how }) => how === '')))
    throw new Error(say('Say of each thing on a face what it is, or take it away.'));
  return {
    ...(held === ''
      ? {}
      : { held: { by: held, ...(foilWidthMm === undefined ? {} : { foilWidthMm }) } }),
    layers: layers.map(layerBody),
    generations: generations.map(({ mark, reason, happened: day, byRole, fate, fateNote }) => ({
      ...(mark === '' ? {} : { mark }),
      reason,
      ...(day === '' ? {} : { happened: day }),
      ...(byRole === '' ? {} : { byRole }),
      original: { fate, ...(fateNote === '' ? {} : { note: fateNote }) },
    })),
    ...(note === '' ? {} : { note }),
    happened,
  } as TechniqueBody;
}

function layerBody(layer: LayerDraft): BodyLayer {
  const thicknessMm = numberGiven(layer.thickness);
  const densityGCm3 = numberGiven(layer.density);
  const common = {
    ...(thicknessMm === undefined ? {} : { thicknessMm }),
    ...(densityGCm3 === undefined ? {} : { densityGCm3 }),
  };
  if (layer.is === 'interlayer') return { is: 'interlayer', material: layer.material, ...common };
  const { glass, colour, texture, flashFace, flashColour, gauged, worked, painted } = layer;
  return {
    is: 'glass',
    ...(glass === '' ? {} : { glass }),
    ...(colour === '' ? {} : { colour }),
    ...(texture === '' ? {} : { texture }),
    ...common,
    ...(gauged.length === 0
      ? {}
      : {
          gauged: gauged.map(({ xyMm, thicknessMm: mm }) => ({
            xyMm: [...xyMm] as [number, number],
            thicknessMm: mm,
          })),
        }),
    ...(glass !== 'flashed' || flashFace === null
      ? {}
      : { flash: { face: flashFace, ...(flashColour === '' ? {} : { colour: flashColour }) } }),
    worked: worked.map(({ how, face, what, note }) => {
      const depthMm = numberGiven(what);
      return {
        how,
        face,
        ...(depthMm === undefined ? {} : { depthMm }),
        ...(note === '' ? {} : { note }),
      };
    }),
    painted: painted.map(({ how, face, what, note, coats }) => ({
      how,
      face,
      ...(what === '' ? {} : { colour: what }),
      ...(coats === undefined ? {} : { coats }),
      ...(note === '' ? {} : { note }),
    })),
  } as BodyLayer;
}

const text = (value: number | undefined): string => (value === undefined ? '' : String(value));

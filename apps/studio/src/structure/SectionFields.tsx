import type { BarSection } from '#libs/structure';
import { say } from '../platform/language/say.js';
import { NumberField, readNumber } from '../platform/NumberField.js';
import { OneOf } from '../platform/OneOf.js';

export type Shape = BarSection['shape'];

/** Sizes as typed, of every shape, so that changing the shape loses none. */
export type SectionText = Readonly<
  Record<
    'diameterMm' | 'depthMm' | 'breadthMm' | 'outerMm' | 'innerMm' | 'flangeMm' | 'webMm',
    string
  >
>;

// Sizes of bars in windows: common practice, no source.
export const USUAL_SECTION: SectionText = {
  diameterMm: '12',
  depthMm: '25',
  breadthMm: '6',
  outerMm: '16',
  innerMm: '12',
  flangeMm: '4',
  webMm: '5',
};

const SHAPES: readonly Shape[] = ['round', 'flat', 'tee', 'tube'];
export const SIZE_WORDS: Readonly<Record<keyof SectionText, string>> = {
  diameterMm: say('Diameter, mm'),
  depthMm: say('Depth the way the wind pushes, mm'),
  breadthMm: say('Breadth along the glass, mm'),
  outerMm: say('Outside, mm'),
  innerMm: say('Hole, mm'),
  flangeMm: say('Thickness of the flange, mm'),
  webMm: say('Thickness of the web, mm'),
};
const FIELDS: Readonly<Record<Shape, readonly (keyof SectionText)[]>> = {
  round: ['diameterMm'],
  flat: ['depthMm', 'breadthMm'],
  tee: ['depthMm', 'breadthMm', 'flangeMm', 'webMm'],
  tube: ['outerMm', 'innerMm'],
};

/** The section that was typed; a size that is no number comes out as such and is refused by the lib. */
export function sectionOf(shape: Shape, text: SectionText): BarSection {
  const sizes = Object.fromEntries(
    FIELDS[shape].map((field) => [field, readNumber(text[field]) ?? Number.NaN]),
  );
  return { shape, ...sizes } as unknown as BarSection;
}

export function SectionFields({
  shape,
  text,
  onShape,
  onText,
}: {
  shape: Shape;
  text: SectionText;
  onShape: (shape: Shape) => void;
  onText: (text: SectionText) => void;
}) {
  return (
    <>
      <OneOf legend={say('Section')} options={SHAPES} value={shape} onValue={onShape} />
      <div className="two">
        {FIELDS[shape].map((field) => (
          <NumberField
            key={field}
            label={SIZE_WORDS[field]}
            value={text[field]}
            onValue={(value) => {
              onText({ ...text, [field]: value });
            }}
          />
        ))}
      </div>
    </>
  );
}

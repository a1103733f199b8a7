/** Pictures that are no rubbing (fixtures/unsuitable): each refused with what it looks like, none turned into a net. */
import { readFileSync } from 'node:fs';
import sharp, { type Sharp } from 'sharp';
import { readSheet } from '../read-sheet.js';
import { RubbingError } from '../rubbing-error.js';
import type { RubbingImage } from '../sheet.js';

const fixtures = new URL('../../../../fixtures/', import.meta.url);

async function pixels(picture: Sharp): Promise<RubbingImage> {
  const { data, info } = await picture
    .rotate()
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { widthPx: info.width, heightPx: info.height, rgb: data };
}

function refusal(
  image: RubbingImage,
  dpi: number,
  faceWidthsInUseMm: readonly number[] = [],
): { fault: string; message: string } {
  try {
    readSheet({ image, control: { kind: 'scanner', dpi }, taps: [] }, { faceWidthsInUseMm });
  } catch (cause) {
    if (cause instanceof RubbingError) return { fault: cause.fault, message: cause.message };
    throw cause;
  }
  return { fault: 'none', message: '' };
}

const file = (name: string): Sharp => sharp(readFileSync(new URL(name, fixtures)));

describe('what is no rubbing is refused', () => {
  test.each([
    ['portrait', 'no-rubbing', 'no even paper'],
    ['landscape', 'no-rubbing', 'no even paper'],
    ['text-page', 'no-rubbing', 'page of writing'],
    ['blank-sheet', 'no-leads', 'blank sheet'],
    ['panel-coloured', 'panel-photograph', 'Lay it on the panel as a picture'],
    ['panel-clear', 'panel-photograph', 'Lay it on the panel as a picture'],
  ])(
    '%s: %s',
    async (name, fault, words) => {
      const said = refusal(await pixels(file(`unsuitable/${name}.jpg`)), 152.4);
      expect(said.fault).toBe(fault);
      expect(said.message).toContain(words);
    },
    120_000,
  );

  /** 110 × 110 mm out of a scan at 150 dpi. */
  const part = (): Sharp =>
    file('rubbings/easy/rubbing.jpg').extract({ left: 700, top: 700, width: 650, height: 650 });

  test('a rubbing out of focus by more than a millimetre, with the figure', async () => {
    // 5.9 px/mm, so a blur of 7.7 px is 1.3 mm
    const said = refusal(await pixels(part().blur(7.7)), 150);
    expect(said.fault).toBe('too-blurred');
    expect(said.message).toMatch(/sharpness 0\.\d\d, 0\.25 is needed/);
  }, 120_000);

  test('a picture too small for the narrowest face in use, with the number needed', async () => {
    const said = refusal(await pixels(part().resize(242)), 55.9, [3, 6]);
    expect(said.fault).toBe('too-coarse');
    expect(said.message).toContain(
      '2.2 pixels to the millimetre; 2.4 are needed to see both edges of a 3 mm face',
    );
  }, 120_000);

  test('the same part as it is, is read', async () => {
    expect(refusal(await pixels(part()), 150).fault).toBe('none');
  }, 120_000);
});

/** The main job on generated rubbings with exact truth (fixtures/rubbings). */
import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { buildNet, intersectRings, type Net, ringsAreaMm2, unionRings, type XyMm } from '#libs/net';
import { extractRubbing, type RubbingResult } from './extract-rubbing.js';
import { RubbingError } from './rubbing-error.js';
import type { RubbingControl, RubbingSheet } from './sheet.js';

const folder = new URL('../../../fixtures/rubbings/', import.meta.url);
interface Truth {
  readonly pieces: readonly { readonly polygon: XyMm[]; readonly optional?: boolean }[];
}

async function sheetOf(name: string): Promise<{ sheet: RubbingSheet; truth: Truth }> {
  const read = (file: string): unknown =>
    JSON.parse(readFileSync(new URL(`${name}/${file}`, folder), 'utf8'));
  const input = read('input.json') as {
    images: { image: string; control: RubbingControl; dpi?: number }[];
  };
  const { image, control, dpi } = input.images[0]!;
  const taps = (read('clicks.json') as Record<string, [number, number][]>)[image]!;
  const { data, info } = await sharp(readFileSync(new URL(`${name}/${image}`, folder)))
    .rotate()
    .removeAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return {
    sheet: {
      image: {
        widthPx: info.width,
        heightPx: info.height,
        rgb: data,
        ...(dpi === undefined ? {} : { dpi }),
      },
      control,
      taps,
    },
    truth: read('truth.json') as Truth,
  };
}

function netOf(result: RubbingResult): Net {
  return buildNet(result.sketch, {
    face: 'inside',
    layer: 'front',
    surface: 'developed',
    flatten: result.flatten,
    madeBy: { name: 'test', version: '1' },
  });
}

/** Pieces of the truth (those that took wax) met by a piece of the net with IoU of at least 0.8, each used once. */
function piecesMet(net: Net, truth: Truth): { met: number; wanted: number } {
  const free = new Set(net.pieces);
  let met = 0;
  const wanted = truth.pieces.filter((p) => !p.optional);
  for (const { polygon } of wanted) {
    for (const piece of free) {
      const both = ringsAreaMm2(intersectRings([polygon], [piece.centreRingMm]));
      if (both === 0) continue;
      if (both / ringsAreaMm2(unionRings([polygon, piece.centreRingMm])) < 0.8) continue;
      free.delete(piece);
      met++;
      break;
    }
  }
  return { met, wanted: wanted.length };
}

describe('a rubbing becomes a net', () => {
  test('easy (scan, 58 pieces): every piece found, none invented', async () => {
    const { sheet, truth } = await sheetOf('easy');
    const result = extractRubbing([sheet]);
    const net = netOf(result);
    expect(piecesMet(net, truth)).toEqual({ met: 58, wanted: 58 });
    expect(net.pieces.length).toBe(58);
    expect(result.flatten.rmsMm).toBeLessThan(0.1);
    expect(result.rectified.grey.length).toBe(result.rectified.widthPx * result.rectified.heightPx);
  }, 600_000);

  test('medium (phone photograph, 61 pieces), taken as rubbed from outside: at least 95 % found, mirrored', async () => {
    const { sheet, truth } = await sheetOf('medium');
    const result = extractRubbing([sheet], { face: 'outside' });
    const net = netOf(result);
    // mirrored about the middle of the panel, which mirroring leaves where it is
    const xs = net.outlineMm.map(([x]) => x);
    const twiceMiddle = Math.min(...xs) + Math.max(...xs);
    const pieces = truth.pieces.map((p) => ({
      ...p,
      polygon: p.polygon.map(([x, y]): XyMm => [twiceMiddle - x, y]).reverse(),
    }));
    const { met, wanted } = piecesMet(net, { pieces });
    expect(wanted).toBe(61);
    expect(met / wanted).toBeGreaterThanOrEqual(0.95);
    expect(result.flatten.lens?.source).toContain('paper edges');
  }, 600_000);

  test('a sheet with nothing rubbed is refused', async () => {
    const { sheet } = await sheetOf('easy');
    const blank = { ...sheet.image, rgb: new Uint8Array(sheet.image.rgb.length).fill(238) };
    const bar: RubbingControl = { kind: 'scale_bar', length_mm: 100 };
    const taps: [number, number][] = [
      [200, 2400],
      [200 + (100 * 150) / 25.4, 2400],
    ];
    expect(() => extractRubbing([{ image: blank, control: bar, taps }])).toThrow(RubbingError);
    expect(() => extractRubbing([{ image: blank, control: bar, taps }])).toThrow(
      'No came was found',
    );
  }, 600_000);

  test('a preview is refused with its size', () => {
    const image = { widthPx: 120, heightPx: 160, rgb: new Uint8Array(120 * 160 * 3) };
    expect(() =>
      extractRubbing([{ image, control: { kind: 'scale_bar', length_mm: 100 }, taps: [] }]),
    ).toThrow('120 × 160');
  });
});

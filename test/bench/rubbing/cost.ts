/** What 24 and 100 megapixels cost: a case's picture enlarged, its clicks with it. Accuracy is not judged on these. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import type { Judged } from './bars.js';
import { type CaseRun, runCase } from './run-case.js';

interface Input {
  images: { image: string; dpi?: number; control: unknown }[];
}

/** @param folder a case with one picture and marks at known places */
export async function costBars(folder: string): Promise<Judged[]> {
  const [at24, at100] = [await runAt(folder, 24), await runAt(folder, 100)];
  const limit = (bar: string, value: number | undefined, most: number): Judged => ({
    bar,
    value,
    limit: most,
    sense: 'at most',
    digits: most === 5 ? 1 : 0,
  });
  return [
    limit('24 MP: seconds of one core', at24.cpuSeconds, 5),
    limit('24 MP: MiB at most', at24.peakRssMib, 1024),
    limit('100 MP: MiB at most', at100.peakRssMib, 1024),
  ];
}

async function runAt(folder: string, megapixels: number): Promise<CaseRun> {
  const input = JSON.parse(readFileSync(join(folder, 'input.json'), 'utf8')) as Input;
  const { image } = input.images[0]!;
  const clicks = JSON.parse(readFileSync(join(folder, 'clicks.json'), 'utf8')) as Record<
    string,
    [number, number][]
  >;
  const picture = sharp(join(folder, image)).autoOrient();
  const { autoOrient } = await picture.metadata();
  const scale = Math.sqrt((megapixels * 1e6) / (autoOrient.width * autoOrient.height));
  const place = mkdtempSync(join(tmpdir(), 'mullion-cost-'));
  try {
    await picture
      .resize(Math.round(autoOrient.width * scale), Math.round(autoOrient.height * scale))
      .jpeg({ quality: 90 })
      .toFile(join(place, image));
    // Pixel centres lie at whole numbers: the edge of the picture at -0.5.
    const scaled = clicks[image]!.map(([x, y]) => [
      (x + 0.5) * scale - 0.5,
      (y + 0.5) * scale - 0.5,
    ]);
    writeFileSync(join(place, 'clicks.json'), JSON.stringify({ [image]: scaled }));
    writeFileSync(join(place, 'input.json'), JSON.stringify(input));
    const run = runCase(place);
    if (run.refusal !== undefined) throw new Error(`at ${megapixels} MP: ${run.refusal}`);
    return run;
  } finally {
    rmSync(place, { recursive: true });
  }
}

/** Surfaces through readings of bulges against SciPy's smoothers on the same readings. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { XyMm } from '#libs/net';
import { bulgeSurface, heightsOf } from '#libs/structure';
import {
  HELD_OUT,
  OUTLINE,
  PANEL,
  readingsOf,
} from '../../libs/structure/src/bulge/bulges.fixture.js';
import { check } from './check.js';
import { outputOf } from './python-tools.js';

const SCRIPT = fileURLToPath(new URL('bulge.py', import.meta.url));
const NOISE_MM = 0.3;

export function checkBulges(python: string): void {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-bulge-'));
  const places = Array.from(
    { length: 28 * 43 },
    (_, i): XyMm => [
      (((i % 28) + 1) * PANEL.widthMm) / 29,
      ((Math.floor(i / 28) + 1) * PANEL.heightMm) / 44,
    ],
  );
  const cases = Object.entries(HELD_OUT).map(([name, shape]) => {
    const readings = readingsOf(shape, { stepMm: 75, noiseMm: NOISE_MM, seed: 11 });
    const heights = heightsOf(
      bulgeSurface(readings, { outlineMm: OUTLINE, noiseMm: NOISE_MM }),
      'datum',
    );
    return {
      name,
      noiseMm: NOISE_MM,
      readings,
      places,
      heights: places.map((place) => heights.heightMm(place)),
      truth: places.map(([x, y]) => shape(x, y)),
    };
  });
  try {
    const file = join(folder, 'cases.json');
    writeFileSync(file, JSON.stringify(cases));
    const run = spawnSync(python, [SCRIPT, file], { encoding: 'utf8' });
    check('SciPy read every bulge', run.status === 0, run.status === 0 ? '' : outputOf(run));
    for (const line of run.stdout.trim().split('\n').filter(Boolean)) {
      const { sentence, holds, detail } = JSON.parse(line) as {
        sentence: string;
        holds: boolean;
        detail: string;
      };
      check(sentence, holds, detail);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

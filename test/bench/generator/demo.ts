/** Writes the rubbings of the demo's populated window, Sallowmere Chapel sII: `demo.js OUT`. */
import { join } from 'node:path';
import { type CaseRecipe, writeCase } from './write-case.js';

/** Two lights of three rows, one tracery opening: sizes over the outer leads, mm. */
const DEMO_PANELS: readonly (CaseRecipe & { mark: string })[] = [
  { mark: '1a', number: 201, style: 'bands', quality: 'phone', sizeMm: [360, 470] },
  { mark: '1b', number: 202, style: 'quarries', quality: 'phone', sizeMm: [360, 470] },
  { mark: '2a', number: 203, style: 'figure', quality: 'phone', sizeMm: [360, 450] },
  { mark: '2b', number: 204, style: 'figure', quality: 'phone', sizeMm: [360, 450] },
  { mark: '3a', number: 205, style: 'lancet', quality: 'phone', sizeMm: [360, 520] },
  { mark: '3b', number: 206, style: 'lancet', quality: 'phone', sizeMm: [360, 520] },
  { mark: 'A1', number: 207, style: 'round', quality: 'phone', sizeMm: [380, 380] },
];

const [out] = process.argv.slice(2);
if (out === undefined) throw new Error('say where to write: demo.js OUT');
for (const { mark, ...recipe } of DEMO_PANELS) {
  const done = await writeCase({ ...recipe, control: 'control_points' }, join(out, `sII-${mark}`));
  process.stdout.write(`${mark}: ${done.pieces} pieces, ${done.megapixels.toFixed(1)} MP\n`);
}

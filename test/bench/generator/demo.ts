/** Writes the rubbings of the demo's populated window, Sallowmere Chapel sII: `demo.js OUT`. */
import { join } from 'node:path';
import { DEMO_PANELS } from './demo-panels.js';
import { writeCase } from './write-case.js';

const [out] = process.argv.slice(2);
if (out === undefined) throw new Error('say where to write: demo.js OUT');
for (const { mark, ...recipe } of DEMO_PANELS) {
  const done = await writeCase({ ...recipe, control: 'control_points' }, join(out, `sII-${mark}`));
  process.stdout.write(`${mark}: ${done.pieces} pieces, ${done.megapixels.toFixed(1)} MP\n`);
}

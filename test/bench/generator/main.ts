/** Writes generated rubbing cases. See HELP. */
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { caseName, HELD_OUT_CASES, TUNING_CASES } from './cases.js';
import { CONTROL_KINDS, type ControlKind } from './control-marks.js';
import { STYLES, type Style } from './designs/index.js';
import { QUALITIES, type QualityName } from './quality.js';
import type { CaseRecipe } from './recipe.js';
import { writeCase } from './write-case.js';

const HELP = `Writes generated wax rubbings with exact truth.
  main.js --seed N --style STYLE --quality QUALITY [--control KIND] --out DIR
  main.js --set tuning|held-out [--only N,N] --out DIR   one folder per case of the list in cases.ts
STYLE:   ${Object.keys(STYLES).join(', ')}
QUALITY: ${Object.keys(QUALITIES).join(', ')}
KIND:    ${CONTROL_KINDS.join(', ')} (chosen by the number when left out)
The further wishes of a recipe (recipe.ts) are reached through the lists.
The same arguments give the same panel, rubbing and picture.
`;

function fail(message: string): never {
  process.stderr.write(`${message}\n\n${HELP}`);
  process.exit(2);
}

const { values } = parseArgs({
  options: {
    seed: { type: 'string' },
    style: { type: 'string' },
    quality: { type: 'string' },
    control: { type: 'string' },
    set: { type: 'string' },
    only: { type: 'string' },
    out: { type: 'string' },
    help: { type: 'boolean' },
  },
});

if (values.help) {
  process.stdout.write(HELP);
} else if (!values.out) {
  fail('--out names the folder to write to');
} else if (values.set !== undefined) {
  const list = { tuning: TUNING_CASES, 'held-out': HELD_OUT_CASES }[values.set];
  if (!list) fail(`--set is tuning or held-out, not ${values.set}`);
  const only = values.only?.split(',').map(Number);
  for (const recipe of list.filter((r) => only?.includes(r.number) ?? true))
    await write(recipe, join(values.out, caseName(recipe)));
} else {
  const { seed, style, quality, control } = values;
  if (seed === undefined || !/^\d+$/.test(seed)) fail('--seed is a whole number');
  if (style === undefined || !(style in STYLES))
    fail(`--style is not known: ${style ?? 'missing'}`);
  if (quality === undefined || !(quality in QUALITIES))
    fail(`--quality is not known: ${quality ?? 'missing'}`);
  if (control !== undefined && !CONTROL_KINDS.includes(control as ControlKind))
    fail('--control is not known');
  const recipe = {
    number: Number(seed),
    style: style as Style,
    quality: quality as QualityName,
    ...(control ? { control: control as ControlKind } : {}),
  };
  await write(recipe, values.out);
}

async function write(recipe: CaseRecipe, folder: string): Promise<void> {
  const done = await writeCase(recipe, folder);
  process.stdout.write(`${folder}: ${done.pieces} pieces, ${done.megapixels.toFixed(1)} MP\n`);
}

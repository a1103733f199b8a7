/** Generated cases, kept outside the repository from one run to the next. */
import { createHash } from 'node:crypto';
import { mkdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type CaseRecipe, caseName } from '../generator/recipe.js';
import { GENERATOR_VERSION } from '../generator/write-case.js';

/** @param keep where to keep them; the machine's folder for temporary files when left out */
export function caseFolder(recipe: CaseRecipe, keep?: string): string {
  const root = keep ?? join(tmpdir(), 'mullion-bench');
  mkdirSync(root, { recursive: true });
  const wish = createHash('sha256')
    .update(JSON.stringify([GENERATOR_VERSION, recipe]))
    .digest('hex')
    .slice(0, 8);
  return join(root, `${caseName(recipe)}-${wish}`);
}

/** The API description against openapi-spec-validator, and against the same with a fault put in. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { check } from './check.js';
import { outputOf } from './python-tools.js';

const DOCUMENT = fileURLToPath(new URL('../../libs/api-client/src/openapi.json', import.meta.url));

export function checkOpenApi(python: string): void {
  const document = JSON.parse(readFileSync(DOCUMENT, 'utf8')) as {
    openapi: string;
    paths: Record<string, Record<string, { responses?: unknown }>>;
  };
  check(
    'the API description says OpenAPI 3.1',
    document.openapi.startsWith('3.1.'),
    document.openapi,
  );
  check('it describes paths', Object.keys(document.paths).length > 10);
  const valid = validate(python, DOCUMENT);
  check('openapi-spec-validator accepts it', valid.status === 0, outputOf(valid));

  const folder = mkdtempSync(join(tmpdir(), 'conformance-'));
  try {
    const spoilt = structuredClone(document);
    const operation = Object.values(Object.values(spoilt.paths)[0]!)[0]!;
    operation.responses = { ok: 'not a response' };
    const path = join(folder, 'openapi.json');
    writeFileSync(path, JSON.stringify(spoilt));
    const run = validate(python, path);
    check(
      'openapi-spec-validator refuses it with a fault put in',
      run.status !== 0 && /[Rr]esponse|not valid/.test(outputOf(run)),
      outputOf(run),
    );
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function validate(python: string, path: string) {
  return spawnSync(python, ['-m', 'openapi_spec_validator', '--schema', '3.1', path], {
    encoding: 'utf8',
  });
}

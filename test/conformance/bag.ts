/**
 * A dossier of ours against bagit-python, the Library of Congress's validator of BagIt (RFC 8493). The
 * zip is unpacked by Python's own zipfile. Every damage must be refused, or the validator checks nothing.
 */
import { spawnSync } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  unlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { check } from './check.js';
import { outputOf } from './python-tools.js';
import { sampleDossier } from './sample-dossier.js';

const OBJECT = join('data', 'objects', 'photograph.bin');

const DAMAGES: Record<string, (bag: string) => void> = {
  'one bit of an object flipped': (bag) => {
    const bytes = readFileSync(join(bag, OBJECT));
    bytes[10]! ^= 1;
    writeFileSync(join(bag, OBJECT), bytes);
  },
  'an object missing': (bag) => {
    unlinkSync(join(bag, OBJECT));
  },
  'a file added to the payload': (bag) => {
    writeFileSync(join(bag, 'data', 'slipped-in.txt'), 'x');
  },
  'bag-info.txt changed': (bag) => {
    appendFileSync(join(bag, 'bag-info.txt'), 'Contact-Name: someone else\n');
  },
  'a manifest cut short': (bag) => {
    const path = join(bag, 'manifest-sha512.txt');
    writeFileSync(path, readFileSync(path, 'utf8').split('\n').slice(1).join('\n'));
  },
};

export async function checkBag(python: string): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'conformance-'));
  try {
    const zip = join(folder, 'dossier.zip');
    writeFileSync(zip, (await sampleDossier()).zip);
    const unpacked = spawnSync(python, ['-m', 'zipfile', '-e', zip, join(folder, 'good')], {
      encoding: 'utf8',
    });
    check("Python's zipfile unpacks the dossier", unpacked.status === 0, outputOf(unpacked));
    const tested = spawnSync(python, ['-m', 'zipfile', '-t', zip], { encoding: 'utf8' });
    check("Python's zipfile finds every CRC right", tested.status === 0, outputOf(tested));
    const good = join(folder, 'good', 'slm.w1.1a-keepers');
    const valid = validate(python, good);
    check('bagit-python accepts the dossier', valid.status === 0, outputOf(valid));
    for (const [name, damage] of Object.entries(DAMAGES)) {
      const bag = join(folder, 'damaged');
      rmSync(bag, { recursive: true, force: true });
      cpSync(good, bag, { recursive: true });
      damage(bag);
      const run = validate(python, bag);
      const refused = run.status === 1 && /is invalid/.test(outputOf(run));
      check(`bagit-python refuses it with ${name}`, refused, outputOf(run));
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function validate(python: string, bag: string) {
  return spawnSync(python, ['-m', 'bagit', '--validate', bag], { encoding: 'utf8' });
}

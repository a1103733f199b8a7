/** Manifests, tag manifests and the bag's own declarations against the digests found. */

import { ALGORITHMS, type Algorithm, BAGIT_TXT, type BagInfo, SEAL_TXT } from './bag-layout.js';
import { pathProblem } from './bag-path.js';
import type { FileDigests } from './digests.js';
import { parseManifest } from './manifest.js';
import type { DossierFinding } from './report.js';

const DIGITS: Record<Algorithm, number> = { sha256: 64, sha512: 128 };

export interface BagTexts {
  /** small tag files, by path, as text; absent when the bag has no such file */
  text(path: string): string | undefined;
  digests: ReadonlyMap<string, FileDigests>;
  info: BagInfo | undefined;
}

/** Source: RFC 8493 section 3: complete, then valid. */
export function checkBag(bag: BagTexts): DossierFinding[] {
  const findings: DossierFinding[] = [];
  const paths = [...bag.digests.keys()];
  const payload = paths.filter((path) => path.startsWith('data/'));
  const tags = paths.filter(
    (path) =>
      !path.startsWith('data/') && !/^tagmanifest-[^/]+\.txt$/.test(path) && path !== SEAL_TXT,
  );
  if (bag.text('bagit.txt') !== BAGIT_TXT) {
    findings.push({
      place: 'bag',
      path: 'bagit.txt',
      reason: 'bagit.txt is not the declaration of BagIt 1.0',
    });
  }
  if (bag.digests.has('fetch.txt')) {
    findings.push({
      place: 'bag',
      path: 'fetch.txt',
      reason: 'fetch.txt: a dossier holds all its files itself',
    });
  }
  for (const algorithm of ALGORITHMS) {
    findings.push(...checkManifest(bag, `manifest-${algorithm}.txt`, algorithm, payload));
    findings.push(...checkManifest(bag, `tagmanifest-${algorithm}.txt`, algorithm, tags));
  }
  findings.push(...checkOxum(bag, payload));
  return oncePerFile(findings);
}

function checkManifest(
  bag: BagTexts,
  name: string,
  algorithm: Algorithm,
  expected: readonly string[],
): DossierFinding[] {
  const text = bag.text(name);
  if (text === undefined) return [{ place: 'bag', path: name, reason: `${name} is missing` }];
  const { digests, problems } = parseManifest(text, DIGITS[algorithm]);
  const findings: DossierFinding[] = problems.map((problem) => ({
    place: 'bag',
    path: name,
    reason: `${name}: ${problem}`,
  }));
  const listed = new Set(expected);
  for (const [path, digest] of digests) {
    const problem = pathProblem(path);
    if (problem !== undefined) {
      findings.push({
        place: 'bag',
        path: name,
        reason: `${name} lists ${problem}: ${JSON.stringify(path)}`,
      });
    } else if (!listed.has(path)) {
      const isElsewhere = bag.digests.has(path);
      findings.push({
        place: 'file',
        path,
        reason: isElsewhere
          ? `${name} lists ${path}, which does not belong there`
          : `${path} is missing (${name} lists it)`,
      });
    } else if (bag.digests.get(path)![algorithm] !== digest) {
      findings.push({
        place: 'file',
        path,
        reason: `${path} was changed: its digest is not the one in ${name}`,
      });
    }
  }
  for (const path of expected) {
    if (!digests.has(path)) {
      findings.push({ place: 'file', path, reason: `${path} was added: ${name} does not list it` });
    }
  }
  return findings;
}

function checkOxum(bag: BagTexts, payload: readonly string[]): DossierFinding[] {
  const bytes = payload.reduce((sum, path) => sum + bag.digests.get(path)!.sizeBytes, 0);
  const expected = `${bytes}.${payload.length}`;
  const found = bag.info?.get('Payload-Oxum');
  return found === expected
    ? []
    : [
        {
          place: 'bag',
          path: 'bag-info.txt',
          reason: `bag-info.txt says Payload-Oxum ${found ?? 'nothing'}, the payload has ${expected}`,
        },
      ];
}

/** The same file fails under both algorithms: one finding is enough. */
function oncePerFile(findings: readonly DossierFinding[]): DossierFinding[] {
  const seen = new Set<string>();
  return findings.filter(({ place, path, reason }) => {
    const key = place === 'file' ? `${path} ${reason.split(' ').slice(1, 3).join(' ')}` : reason;
    return !seen.has(key) && seen.add(key);
  });
}

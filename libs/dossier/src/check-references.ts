/** References of entries to leaves of other logs: is the leaf here, by its log or by a proof of its own? */

import { hexOf, type LeafList } from '#libs/ledger';
import { leafName, type ProvenLeaf } from './references.js';
import type { DossierFinding } from './report.js';
import { type RoleHeld, RolesHeld } from './roles-held.js';

export interface Reference {
  log: string;
  seq: number;
  actorId: string;
  origin: string;
  index: number;
  leafHash: string;
}

export interface ReferencesCheck {
  findings: DossierFinding[];
  remarks: string[];
  counts: { all: number; proven: number };
  roles: RoleHeld[];
}

export function checkReferences(
  references: readonly Reference[],
  leavesByOrigin: ReadonlyMap<string, LeafList>,
  proven: ReadonlyMap<string, ProvenLeaf>,
): ReferencesCheck {
  const result: ReferencesCheck = {
    findings: [],
    remarks: [],
    counts: { all: references.length, proven: 0 },
    roles: [],
  };
  const absent = new Set<string>();
  const newer = new Set<string>();
  const roles = new RolesHeld();
  for (const { log, seq, actorId, origin, index, leafHash } of references) {
    const leaves = leavesByOrigin.get(origin);
    const listed = leaves?.at(index);
    const leaf = proven.get(leafName(origin, index));
    const found = listed === undefined ? leaf?.leafHash : hexOf(listed);
    if (found === leafHash) {
      result.counts.proven += 1;
      if (leaf !== undefined) roles.add(actorId, origin, index, leaf);
    } else if (found !== undefined) {
      result.findings.push({
        place: 'entry',
        log,
        seq,
        reason: `entry ${seq} of ${log} refers to another entry ${index} of ${origin} than the one that is here`,
      });
    } else if (leaves === undefined) {
      absent.add(origin);
    } else {
      // the other log may have grown past its checkpoint here: only a wrong hash is a contradiction
      newer.add(
        `entry ${seq} of ${log} refers to entry ${index} of ${origin}, which is newer than its checkpoint here`,
      );
    }
  }
  result.remarks.push(...newer);
  for (const origin of absent) {
    result.remarks.push(`entries refer to the log ${origin}, which is not in this dossier`);
  }
  result.roles = roles.all;
  return result;
}

import type { EntryRef } from '#libs/ledger';
import type { Tx } from './tx.js';

/** In rising order: each may do what those before it may (product.md says who holds which). */
export const ROLES = ['reader', 'recorder', 'conservator', 'approver', 'keeper'] as const;
export type Role = (typeof ROLES)[number];

export interface Grant {
  /** null: at every site, and for what belongs to the studio */
  readonly siteId: string | null;
  readonly role: Role;
}

/** A grant with the leaf that gave it, so that what is done by it can refer to it. */
export interface ProvenGrant extends Grant {
  /** null while the entry of the grant waits to be written in the same batch */
  readonly givenBy: EntryRef | null;
}

/** Highest role that the grants give at a site; null asks for the studio as a whole. */
export function roleAmong(grants: readonly Grant[], siteId: string | null): Role | null {
  let best = -1;
  for (const grant of grants) {
    if (grant.siteId !== null && grant.siteId !== siteId) continue;
    best = Math.max(best, ROLES.indexOf(grant.role));
  }
  return ROLES[best] ?? null;
}

export function isAtLeast(role: Role | null, needed: Role): boolean {
  return role !== null && ROLES.indexOf(role) >= ROLES.indexOf(needed);
}

/** The leaf that gave the role of {@link roleAmong}; of several the one given first. */
export function grantBehind(
  grants: readonly ProvenGrant[],
  siteId: string | null,
): EntryRef | undefined {
  const role = roleAmong(grants, siteId);
  return grants
    .filter((grant) => grant.role === role && (grant.siteId === null || grant.siteId === siteId))
    .flatMap(({ givenBy }) => givenBy ?? [])
    .sort((a, b) => a.index - b.index)[0];
}

/** Grants of a person who is not disabled. */
export async function grantsOf(tx: Tx, personId: string): Promise<ProvenGrant[]> {
  const rows = await tx.query<Grant & (EntryRef | { origin: null })>(
    `SELECT g.site_id, g.role, l.origin, e.seq AS index, encode(e.leaf_hash, 'hex') AS leaf_hash
     FROM role_grant g JOIN person p USING (person_id)
     LEFT JOIN entry e ON e.log_id = g.log_id AND e.seq = g.entry_seq
     LEFT JOIN log l ON l.log_id = e.log_id
     WHERE g.person_id = $1 AND NOT p.disabled`,
    [personId],
  );
  return rows.map(({ siteId, role, ...ref }) => ({
    siteId,
    role,
    givenBy: ref.origin === null ? null : ref,
  }));
}

/** A token for one site only narrows what its owner holds. */
export function narrowed<G extends Grant>(grants: readonly G[], onlySiteId: string | null): G[] {
  if (onlySiteId === null) return [...grants];
  return grants
    .filter((grant) => grant.siteId === null || grant.siteId === onlySiteId)
    .map((grant) => ({ ...grant, siteId: onlySiteId }));
}

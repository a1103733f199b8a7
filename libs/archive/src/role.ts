import type { Tx } from './tx.js';

/** In rising order: each may do what those before it may (product.md says who holds which). */
export const ROLES = ['reader', 'recorder', 'conservator', 'approver', 'keeper'] as const;
export type Role = (typeof ROLES)[number];

export interface Grant {
  /** null: at every site, and for what belongs to the studio */
  readonly siteId: string | null;
  readonly role: Role;
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

/** Grants of a person who is not disabled. */
export function grantsOf(tx: Tx, personId: string): Promise<Grant[]> {
  return tx.query<Grant>(
    `SELECT g.site_id, g.role FROM role_grant g JOIN person p USING (person_id)
     WHERE g.person_id = $1 AND NOT p.disabled`,
    [personId],
  );
}

/** A token for one site only narrows what its owner holds. */
export function narrowed(grants: readonly Grant[], onlySiteId: string | null): Grant[] {
  if (onlySiteId === null) return [...grants];
  return grants
    .filter((grant) => grant.siteId === null || grant.siteId === onlySiteId)
    .map((grant) => ({ siteId: onlySiteId, role: grant.role }));
}

import type { EntryRef } from '#libs/ledger';
import { Problem } from '#libs/problem';
import type { Lookup } from './lookup.js';
import type { Tx } from './tx.js';
import { type Target, unknown } from './unknown.js';

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

type GrantRow = Grant & { personId: string } & (EntryRef | { origin: null });

const GRANTS: Lookup<GrantRow> = {
  // Each grant's entry by its key: joined as tables, a plan made while the log was short reads all of it.
  text: `SELECT g.person_id, g.site_id, g.role, given.origin, given.index, given.leaf_hash
    FROM role_grant g JOIN person p USING (person_id)
    LEFT JOIN LATERAL (
      SELECT l.origin, e.seq AS index, encode(e.leaf_hash, 'hex') AS leaf_hash
      FROM entry e JOIN log l USING (log_id)
      WHERE e.log_id = g.log_id AND e.seq = g.entry_seq LIMIT 1) given ON true
    WHERE g.person_id = ANY($1::uuid[]) AND NOT p.disabled`,
  tables: ['role_grant', 'person'],
  appended: ['entry'],
  steadyIn: 'studio',
  keyOf: ({ personId }) => [personId],
};

/** Grants of a person who is not disabled. */
export async function grantsOf(tx: Tx, personId: string): Promise<ProvenGrant[]> {
  const rows = await tx.ask(GRANTS, personId);
  return rows.map(({ siteId, role, ...row }) => ({
    siteId,
    role,
    givenBy:
      row.origin === null ? null : { origin: row.origin, index: row.index, leafHash: row.leafHash },
  }));
}

/** `role` is what may be done with it here; `held` what its owner holds, however far that is narrowed. */
export type Narrowed<G extends Grant = Grant> = G & { readonly held: Role };

/**
 * A token or a paired phone narrows what its owner holds: to one site, to a role at most, or to both.
 *
 * @param mostRole null: as much as the owner may
 */
export function narrowed<G extends Grant>(
  grants: readonly G[],
  onlySiteId: string | null,
  mostRole: Role | null = null,
): Narrowed<G>[] {
  return grants
    .filter((grant) => onlySiteId === null || grant.siteId === null || grant.siteId === onlySiteId)
    .map((grant) => ({
      ...grant,
      siteId: onlySiteId ?? grant.siteId,
      held: grant.role,
      role: mostRole !== null && isAtLeast(grant.role, mostRole) ? mostRole : grant.role,
    }));
}

/** Grants that count for a request: a token or a paired phone narrows them. */
export async function grantsFor(
  tx: Tx,
  asking: {
    readonly actorId: string;
    readonly onlySiteId?: string | null | undefined;
    readonly mostRole?: Role | null | undefined;
  },
): Promise<ProvenGrant[]> {
  return narrowed(
    await grantsOf(tx, asking.actorId),
    asking.onlySiteId ?? null,
    asking.mostRole ?? null,
  );
}

/** @throws {Problem} `role-insufficient`; for a site where the person has no role, the target as unknown */
export function allowed(
  command: { readonly role: Role | 'anyone'; readonly target?: Target },
  siteId: string | null,
  grants: readonly Grant[],
): void {
  if (command.role === 'anyone') return;
  const role = roleAmong(grants, siteId);
  if (role === null && siteId !== null) throw unknown(command.target ?? 'site');
  if (!isAtLeast(role, command.role)) {
    throw new Problem(
      'role-insufficient',
      `This needs the role ${command.role}${siteId === null ? ' for the whole studio' : ' at this site'}; you hold ${role ?? 'none'}. Ask the keeper.`,
      { neededRole: command.role },
    );
  }
}

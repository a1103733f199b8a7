/**
 * Leaves of the archive's other logs that given entries refer to, each with its proof: who held which
 * role, without the rest of the studio's log.
 */
import { readNodes, type Tx } from '#libs/archive';
import type { DossierReference } from '#libs/dossier';
import { type EntryRef, inclusionProof, parseEntry } from '#libs/ledger';

interface Asker {
  readonly isKeepers: boolean;
  readonly row: { readonly siteId: string };
}

/** References to logs that this archive has not are left out: the check says that they are not here. */
export async function referencedLeaves(
  tx: Tx,
  refs: readonly EntryRef[],
  asker: Asker,
): Promise<DossierReference[]> {
  const byOrigin = new Map<string, EntryRef[]>();
  for (const ref of refs) {
    byOrigin.set(ref.origin, [...(byOrigin.get(ref.origin) ?? []), ref]);
  }
  const found: DossierReference[] = [];
  for (const [origin, own] of [...byOrigin].sort()) {
    const log = await tx.first<{ logId: string; siteId: string | null }>(
      'SELECT log_id, site_id FROM log WHERE origin = $1',
      [origin],
    );
    if (log === undefined || log.siteId === asker.row.siteId) continue;
    found.push(...(await leavesOf(tx, log.logId, own, asker)));
  }
  return found;
}

async function leavesOf(
  tx: Tx,
  logId: string,
  refs: readonly EntryRef[],
  asker: Asker,
): Promise<DossierReference[]> {
  const indices = refs.map((ref) => ref.index).sort((a, b) => a - b);
  const head = await provingHead(tx, logId, indices.at(-1)!);
  const reader = {
    readHashes: (nodes: readonly { level: number; index: number }[]) => readNodes(tx, logId, nodes),
  };
  const rows = await tx.query<{ seq: number; bytes: Buffer; leafHash: Buffer }>(
    'SELECT seq, bytes, leaf_hash FROM entry WHERE log_id = $1 AND seq = ANY($2) ORDER BY seq',
    [logId, indices],
  );
  return Promise.all(
    rows.map(async ({ seq, bytes, leafHash }) => ({
      index: seq,
      leaf: isGiven(bytes, asker)
        ? { bytes: new Uint8Array(bytes) }
        : { leafHash: new Uint8Array(leafHash) },
      hashes: await inclusionProof(reader, seq, head.size),
      checkpointNote: head.note,
    })),
  );
}

/** The first head by the key in force that holds the entry: the same one whenever the job runs. */
async function provingHead(
  tx: Tx,
  logId: string,
  index: number,
): Promise<{ size: number; note: string }> {
  const head = await tx.first<{ size: number; note: string }>(
    `SELECT size, note FROM checkpoint
     WHERE log_id = $1 AND size > $2
       AND size > coalesce((SELECT max(seq) FROM key_event WHERE log_id = $1 AND kind = 'change'), -1)
     ORDER BY size LIMIT 1`,
    [logId, index],
  );
  if (head === undefined) throw new Error(`no checkpoint of ${logId} holds entry ${index}`);
  return head;
}

/** Handed out is an entry about roles that speaks of no other site; of others the leaf hash alone. */
function isGiven(bytes: Buffer, { isKeepers, row }: Asker): boolean {
  if (isKeepers) return true;
  const { type, payload } = parseEntry(new Uint8Array(bytes));
  if (!['person.start', 'person.add', 'role.grant'].includes(type)) return false;
  const said = payload as { siteId?: string | null; grants?: { siteId: string | null }[] };
  const sites = [said.siteId ?? null, ...(said.grants ?? []).map(({ siteId }) => siteId)];
  return sites.every((siteId) => siteId === null || siteId === row.siteId);
}

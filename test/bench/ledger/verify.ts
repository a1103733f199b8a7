/**
 * How fast a log is verified, against the same SHA-256 calls alone, in one run on one core. What is
 * verified is the tree over the entries, the checkpoint's root and its signature. The check of each
 * entry's form (canonical JSON, place, origin) is measured beside it.
 */

import { createPrivateKey, createPublicKey, hash, sign } from 'node:crypto';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import {
  entryBytes,
  Frontier,
  formatVerifierKey,
  LogCheck,
  signCheckpoint,
  treeHasher,
  verifierKey,
} from '#libs/ledger';
import { median } from './append.js';

const RUNS = 3;
const ORIGIN = 'mullion/bench-archive/site/slm';

const sha256 = (bytes: Uint8Array): Uint8Array => hash('sha256', bytes, 'buffer');

function madeEntry(seq: number): Uint8Array {
  return entryBytes({
    v: 1,
    log: ORIGIN,
    seq,
    type: 'finding.record',
    subject: `SLM.wI.${(seq % 28) + 1}b.${(seq % 90) + 1}`,
    actorId: '0190a0c4-0000-7000-8000-000000000001',
    happened: '2026-11-24',
    recordedAt: '2026-11-25T08:30:00.000Z',
    payload: {
      term: 'glass.crack.simple',
      lengthMm: (seq % 900) / 10,
      geometry: { kind: 'line', xyMm: [1.5, 2, 30, seq % 97] },
    },
    objects: [{ digest: `sha256:${'ab'.repeat(32)}`, role: 'evidence' }],
    supersedes: null,
    refs: [],
  });
}

interface MadeLog {
  readonly entries: readonly Uint8Array[];
  readonly note: string;
  readonly key: string;
}

async function madeLog(entriesN: number): Promise<MadeLog> {
  const hasher = treeHasher(sha256);
  const frontier = new Frontier(hasher);
  const entries: Uint8Array[] = [];
  for (let seq = 0; seq < entriesN; seq++) {
    const bytes = madeEntry(seq);
    entries.push(bytes);
    frontier.append(hasher.leaf(bytes));
  }
  // Any key will do: PKCS #8 head of an Ed25519 key and 32 bytes of it.
  const secret = createPrivateKey({
    key: Buffer.concat([
      Buffer.from('302e020100300506032b657004220420', 'hex'),
      Buffer.alloc(32, 7),
    ]),
    format: 'der',
    type: 'pkcs8',
  });
  const publicKey = new Uint8Array(
    Buffer.from(createPublicKey(secret).export({ format: 'jwk' }).x!, 'base64url'),
  );
  const note = await signCheckpoint(
    { origin: ORIGIN, size: entriesN, root: frontier.root() },
    { publicKey, sign: (message) => sign(null, message, secret) },
  );
  return { entries, note, key: formatVerifierKey(verifierKey(ORIGIN, publicKey)) };
}

// Made once: room taken in each turn made the collector run, and the floor look slow.
const ROOM = new Uint8Array(16_385);
const PAIR = new Uint8Array(65);

/** The floor: a hash over each entry with its prefix and, all but once, one over two hashes. */
function hashCalls(entries: readonly Uint8Array[], { from, to }: Stretch): number {
  let sum = 0;
  for (let seq = from; seq < to; seq++) {
    const entry = entries[seq]!;
    sum += sha256(ROOM.subarray(0, entry.length + 1))[0]!;
    if (seq > 0) sum += sha256(PAIR)[0]!;
  }
  return sum;
}

function added(check: LogCheck, entries: readonly Uint8Array[], { from, to }: Stretch): void {
  for (let seq = from; seq < to; seq++) check.add(entries[seq]!);
}

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Entries before the next way has its turn: a slow spell of the machine hits all three. */
const A_TURN = 5000;
const WAYS = ['hashes', 'tree', 'form'] as const;

/** Processor time of this thread: what else the machine does is no part of it. */
function seconds(run: () => unknown): number {
  const before = process.threadCpuUsage();
  run();
  const { user, system } = process.threadCpuUsage(before);
  return (user + system) / 1e6;
}

export interface VerifySpeed {
  readonly hashesS: number;
  readonly treeS: number;
  readonly formS: number;
  /** what the check holds after a tenth of the log and after all of it, MB */
  readonly heldMb: { readonly atTenth: number; readonly atEnd: number };
}

/** Seconds of one core, each the median of three runs. */
export async function verifySpeed(entriesN: number): Promise<VerifySpeed> {
  const log = await madeLog(entriesN);
  const times = { hashes: [] as number[], tree: [] as number[], form: [] as number[] };
  for (let run = 0; run < RUNS; run++) {
    const spent = { hashes: 0, tree: 0, form: 0 };
    const check = (checkForm: boolean) =>
      new LogCheck(log.note, { key: log.key, hash: sha256, checkForm });
    const checks = { tree: check(false), form: check(true) };
    for (let from = 0; from < entriesN; from += A_TURN) {
      const stretch = { from, to: Math.min(from + A_TURN, entriesN) };
      // Whoever comes first finds the entries cold in memory: each in its turn.
      for (let i = 0; i < WAYS.length; i++) {
        const way = WAYS[(i + from / A_TURN) % WAYS.length]!;
        spent[way] += seconds(() => {
          if (way === 'hashes') hashCalls(log.entries, stretch);
          else added(checks[way], log.entries, stretch);
        });
      }
    }
    for (const way of ['tree', 'form'] as const) {
      spent[way] += seconds(() => {
        const { result } = checks[way].finish();
        if (result !== 'consistent-key-unknown') throw new Error(`a sound log came out ${result}`);
      });
    }
    for (const way of WAYS) times[way].push(spent[way]);
  }
  return {
    hashesS: median(times.hashes),
    treeS: median(times.tree),
    formS: median(times.form),
    heldMb: heldWhileChecking(log, entriesN),
  };
}

const WARM = 20_000;

/** Entries come as from a file, one after the other, and nobody else keeps them. */
function heldWhileChecking(log: MadeLog, entriesN: number): VerifySpeed['heldMb'] {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  const usedMb = () => {
    // what only a finalizer lets go of is gone after the next collection
    for (let i = 0; i < 3; i++) collect();
    const { heapUsed, external, arrayBuffers } = process.memoryUsage();
    return (heapUsed + external + arrayBuffers) / 1e6;
  };
  const check = new LogCheck(log.note, { key: log.key, hash: sha256 });
  // compiled code counts as well: that of the check is there before anything is measured
  const warm = new LogCheck(log.note, { key: log.key, hash: sha256 });
  for (let seq = 0; seq < WARM; seq++) warm.add(madeEntry(seq));
  const before = usedMb();
  let atTenth = 0;
  for (let seq = 0; seq < entriesN; seq++) {
    if (seq === Math.floor(entriesN / 10)) atTenth = usedMb() - before;
    check.add(madeEntry(seq));
  }
  const atEnd = usedMb() - before;
  const { result } = check.finish();
  if (result !== 'consistent-key-unknown') throw new Error(`a sound log came out ${result}`);
  return { atTenth, atEnd };
}

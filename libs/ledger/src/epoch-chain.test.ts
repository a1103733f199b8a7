/**
 * Rules of our own (the head of `epoch.ts`): a log closes at the size and root that the first entry of the
 * next epoch names. Keys, signatures and roots are made here; what must come out follows from how they
 * were made.
 */
import {
  base64Of,
  carriedEntries,
  chainEpochs,
  EpochHistory,
  type EpochLog,
  type EpochPayload,
  entryName,
  entryNameIn,
  isLaterEpoch,
  isToldLost,
  openEpochOf,
  placeInHistory,
  publicKeyOf,
  signCheckpoint,
  signEd25519,
} from './index.js';

const FIRST = 'mullion/5f0c2a9e-demo/site/slm';
const SECOND = `${FIRST}/epoch/2`;
const seed = (fill: number) => new Uint8Array(32).fill(fill);
const root = (fill: number) => new Uint8Array(32).fill(fill);
const [KEY, STRANGER] = [seed(1), seed(2)];

const note = (size: number, fill: number, by = KEY) =>
  signCheckpoint(
    { origin: FIRST, size, root: root(fill) },
    { publicKey: publicKeyOf(by), sign: (message) => signEd25519(message, by) },
  );

async function payload(more: Partial<EpochPayload> = {}, by = KEY): Promise<EpochPayload> {
  return {
    before: { origin: FIRST, size: 5, rootHash: base64Of(root(5)) },
    known: { origin: FIRST, size: 8, rootHash: base64Of(root(8)), note: await note(8, 8, by) },
    lost: { from: 5, to: 8 },
    heldBy: 'store',
    restored: '20260101T000000Z',
    ...more,
  };
}

const entry = (payload: EpochPayload, seq = 0) => ({
  seq,
  type: 'log.epoch',
  recordedAt: '2026-01-02T00:00:00.000Z',
  payload: payload as never,
});

const closed: EpochLog = {
  origin: FIRST,
  size: 5,
  root: root(5),
  told: [],
  keys: [publicKeyOf(KEY)],
};
async function opened(said?: EpochPayload): Promise<EpochLog> {
  const history = new EpochHistory(SECOND);
  expect(history.add(entry(said ?? (await payload())))).toBeUndefined();
  return { ...closed, origin: SECOND, size: 3, root: root(3), told: history.told };
}

describe('the logs of one history', () => {
  it('hold together where the first closed as the second says, and the loss is told', async () => {
    const chain = chainEpochs([closed, await opened()], { isWhole: true });
    expect(chain.faults).toEqual([]);
    expect(chain.notices).toEqual([
      { origin: SECOND, seq: 0, reason: expect.stringContaining('Entries 5 to 7') as string },
    ]);
    expect(openEpochOf(FIRST, chain)).toBe(SECOND);
    expect(openEpochOf(SECOND, chain)).toBe(SECOND);
  });

  it.each([
    ['went on', { size: 6 }, 'entries 5 to 5 were added after it was closed at 5'],
    ['was cut', { size: 4 }, 'entries 4 to 4 are missing: it was closed at 5'],
    ['was rewritten', { root: root(9) }, 'another root'],
  ])('do not where the closed one %s', async (_, more, words) => {
    const chain = chainEpochs([{ ...closed, ...more }, await opened()]);
    expect(chain.faults).toMatchObject([
      { origin: FIRST, reason: expect.stringContaining(words) as string },
    ]);
    expect(chain.vouchedBy.size).toBe(0);
  });

  it('do not where a loss rests on a checkpoint that a stranger signed', async () => {
    const chain = chainEpochs([closed, await opened(await payload({}, STRANGER))]);
    expect(chain.faults).toMatchObject([{ origin: SECOND, seq: 0 }]);
  });

  it('miss one where an epoch is not here: a fault in a whole archive, else said', async () => {
    const second = await opened();
    expect(chainEpochs([second]).faults).toEqual([]);
    expect(
      chainEpochs([second])
        .notices.map(({ reason }) => reason)
        .join(),
    ).toContain('that log is not here');
    expect(chainEpochs([second], { isWhole: true }).faults).toMatchObject([
      { origin: SECOND, reason: 'epoch 1 of this history is missing' },
    ]);
  });
});

describe('what a log tells of the epochs before it', () => {
  it.each([
    ['another log', { before: { origin: `${FIRST}x`, size: 5, rootHash: base64Of(root(5)) } }],
    ['no loss at all', { lost: { from: 9, to: 8 } }],
    ['a loss beyond the checkpoint', { lost: { from: 5, to: 20 } }],
    [
      'a checkpoint that is none',
      { known: { origin: FIRST, size: 8, rootHash: base64Of(root(8)), note: 'x' } },
    ],
    [
      'another root than the checkpoint',
      { known: { origin: FIRST, size: 8, rootHash: base64Of(root(7)), note: '' } },
    ],
  ])('is refused when it names %s', async (_, more: Partial<EpochPayload>) => {
    const known = { ...(await payload()).known, ...more.known };
    const note = more.known?.note === '' ? (await payload()).known.note : known.note;
    const said = await payload({ ...more, known: { ...known, note } });
    expect(new EpochHistory(SECOND).add(entry(said))).toMatch(/^entry 0 /);
  });

  it('is missing where the first entry is another', () => {
    const other = { ...entry({} as never), type: 'site.describe' };
    expect(new EpochHistory(SECOND).add(other)).toContain('entry 0 does not say');
    expect(new EpochHistory(FIRST).add(other)).toBeUndefined();
  });

  it('covers checkpoints of the lost range, no other', async () => {
    const { told } = await opened();
    const lost = (size: number, origin = FIRST) => isToldLost(told, { origin, size });
    expect([5, 6, 8, 9].map((size) => lost(size))).toEqual([false, true, true, false]);
    expect(lost(6, SECOND)).toBe(false);
  });
});

describe('entries of two epochs', () => {
  it('are never cited alike', () => {
    expect(entryName(7)).toBe('entry 7');
    expect(entryName(placeInHistory(2, 7))).toBe('entry 7 of epoch 2');
    expect(entryNameIn(SECOND, 7)).toBe('entry 7 of epoch 2');
    expect(entryNameIn(FIRST, 7)).toBe('entry 7');
  });

  it('lie in logs that follow one another by their origin lines', () => {
    expect(isLaterEpoch(SECOND, FIRST)).toBe(true);
    expect(isLaterEpoch(FIRST, SECOND)).toBe(false);
    expect(isLaterEpoch('mullion/5f0c2a9e-demo/studio/epoch/2', FIRST)).toBe(false);
  });
});

it('nothing is carried where no key ever changed', () => {
  expect(carriedEntries([])).toEqual([]);
});

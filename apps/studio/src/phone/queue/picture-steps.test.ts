/**
 * No order of troubles loses or doubles a picture. The archive here is a model of what tus 1.0 and the
 * project's contract say: parts are kept as far as they came, an upload begun again with its
 * Idempotency-Key is the same upload, the same bytes under the same mark are attached once.
 */
import fc from 'fast-check';
import { rakingJob as job } from './job.fixture.js';
import { freshPicture, type Picture, type Receipt } from './picture.js';
import { afterEvent, mayLoseBytes, type PictureEvent } from './picture-steps.js';
import { copiesToRemove, nextStep, retryDelayMs, roomLeft } from './send-plan.js';

const ARCHIVE = 'archive';
const PARTS = 3;

/** Where a line or a server may break. */
type Trouble =
  | 'none'
  | 'before-begin'
  | 'answer-to-begin-lost'
  | 'in-part'
  | 'answer-to-last-part-lost'
  | 'before-proof'
  | 'reload-before-writing-down'
  | 'upload-forgotten'
  | 'other-digest';
const troubles: readonly Trouble[] = [
  'none',
  'before-begin',
  'answer-to-begin-lost',
  'in-part',
  'answer-to-last-part-lost',
  'before-proof',
  'reload-before-writing-down',
  'upload-forgotten',
  'other-digest',
];

class ModelArchive {
  readonly uploads = new Map<string, { url: string; parts: number; key: string }>();
  readonly attached = new Map<string, Receipt>();
  begin(key: string): string {
    const before = [...this.uploads.values()].find((upload) => upload.key === key);
    const url = before?.url ?? `/v1/uploads/${key}`;
    if (before === undefined) this.uploads.set(url, { url, parts: 0, key });
    return url;
  }
  part(url: string, sha256: string): Receipt | undefined {
    const upload = this.uploads.get(url)!;
    upload.parts = Math.min(PARTS, upload.parts + 1);
    return upload.parts === PARTS ? this.attach(sha256) : undefined;
  }
  private attach(sha256: string): Receipt {
    const seq = this.attached.size;
    const receipt =
      this.attached.get(sha256) ??
      ({ mediaId: sha256, logId: 's', seq, digest: `sha256:${sha256}` } as const);
    this.attached.set(sha256, receipt);
    return receipt;
  }
}

class ModelPhone {
  readonly written = new Map<string, Picture>();
  readonly bytes = new Set<string>();
  nowMs = 1;
  take(n: number): void {
    const id = `p${n}`;
    this.write(
      freshPicture({
        id,
        archiveId: ARCHIVE,
        takenAt: new Date(n * 1000).toISOString(),
        fileName: `${id}.jpg`,
        contentType: 'image/jpeg',
        sizeBytes: 1000,
        job,
      }),
    );
    this.bytes.add(id);
    this.tell(id, { kind: 'kept', sha256: `digest-of-${id}`, toBeSeen: false });
  }
  write(picture: Picture): void {
    this.written.set(picture.id, picture);
  }
  tell(id: string, event: PictureEvent): void {
    this.write(afterEvent(this.written.get(id)!, event));
  }
  all(): Picture[] {
    return [...this.written.values()];
  }
}

/** One step of the sender, broken off where the trouble says. */
function step(phone: ModelPhone, archive: ModelArchive, trouble: Trouble): void {
  const next = nextStep(phone.all(), ARCHIVE, phone.nowMs);
  if (next.act === 'wait') phone.nowMs = next.untilMs;
  if (next.act === 'wait' || next.act === 'rest') return;
  const { id } = next.picture;
  const fail = () => {
    phone.tell(id, { kind: 'failed', why: 'line', atMs: phone.nowMs, chance: 0.5 });
  };
  if (next.act === 'prove') {
    if (trouble === 'before-proof') fail();
    else if (trouble !== 'reload-before-writing-down')
      phone.tell(id, { kind: 'proven', size: archive.attached.size, provenAt: 'then' });
    return;
  }
  if (trouble === 'before-begin') {
    fail();
    return;
  }
  if (trouble === 'upload-forgotten' && next.picture.uploadUrl !== null) {
    archive.uploads.delete(next.picture.uploadUrl);
  }
  let url = next.picture.uploadUrl;
  if (url !== null && !archive.uploads.has(url)) {
    phone.tell(id, { kind: 'upload-gone' });
    url = null;
  }
  if (url === null) {
    url = archive.begin(id);
    if (trouble === 'answer-to-begin-lost') {
      fail();
      return;
    }
    phone.tell(id, { kind: 'begun', uploadUrl: url });
  }
  for (;;) {
    const receipt = archive.part(url, next.picture.sha256!);
    if (trouble === 'in-part' && receipt === undefined) {
      fail();
      return;
    }
    if (receipt === undefined) continue;
    if (trouble === 'answer-to-last-part-lost') {
      fail();
      return;
    }
    if (trouble === 'reload-before-writing-down') return;
    const digest = trouble === 'other-digest' ? 'sha256:ff' : receipt.digest;
    phone.tell(id, { kind: 'received', receipt: { ...receipt, digest } });
    return;
  }
}

describe('a queue under any order of troubles', () => {
  it('loses nothing, doubles nothing, and never gives up a copy too early', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 12 }),
        fc.array(fc.constantFrom(...troubles), { maxLength: 120 }),
        (count, sequence) => {
          const phone = new ModelPhone();
          const archive = new ModelArchive();
          for (let n = 0; n < count; n++) phone.take(n);
          const look = () => {
            for (const picture of copiesToRemove(phone.all(), 1e9)) {
              expect(archive.attached.has(picture.sha256!)).toBe(true);
              phone.bytes.delete(picture.id);
              phone.tell(picture.id, { kind: 'bytes-removed' });
            }
            for (const picture of phone.all()) {
              // at every moment the bytes lie on the phone or are attached
              const isSafe = phone.bytes.has(picture.id) || archive.attached.has(picture.sha256!);
              expect(isSafe).toBe(true);
              if (!mayLoseBytes(picture)) expect(phone.bytes.has(picture.id)).toBe(true);
            }
          };
          for (const trouble of sequence) {
            step(phone, archive, trouble);
            look();
          }
          // then the line is good: it must come to rest with everything proven
          for (let turn = 0; turn < 20 * count + 20; turn++) step(phone, archive, 'none');
          look();
          expect(phone.all().map(({ state }) => state)).toEqual(Array(count).fill('proven'));
          expect([...archive.attached.keys()].sort()).toEqual(
            Array.from({ length: count }, (_, n) => `digest-of-p${n}`).sort(),
          );
        },
      ),
      { numRuns: 300 },
    );
  });

  it('takes any event in any state, and lets nothing proven go back', () => {
    const receipt = { mediaId: 'm', logId: 's', seq: 4, digest: 'sha256:aa' };
    const events: readonly PictureEvent[] = [
      { kind: 'kept', sha256: 'aa', toBeSeen: true },
      { kind: 'kept', sha256: 'aa', toBeSeen: false },
      { kind: 'not-kept', why: 'x' },
      { kind: 'looked', found: [], stop: null },
      { kind: 'looked', found: [], stop: 'too coarse' },
      { kind: 'let-go', job },
      { kind: 'begun', uploadUrl: '/u' },
      { kind: 'upload-gone' },
      { kind: 'failed', why: 'x', atMs: 5, chance: 0 },
      { kind: 'refused', why: 'x' },
      { kind: 'received', receipt },
      { kind: 'received', receipt: { ...receipt, digest: 'sha256:bb' } },
      { kind: 'proven', size: 5, provenAt: 'then' },
      { kind: 'proven', size: 4, provenAt: 'then' },
      { kind: 'hurry' },
      { kind: 'bytes-removed' },
      { kind: 'discarded' },
    ];
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...events), { maxLength: 60 }), (sequence) => {
        const phone = new ModelPhone();
        phone.take(0);
        for (const event of sequence) {
          const before = phone.written.get('p0')!;
          phone.tell('p0', event);
          const after = phone.written.get('p0')!;
          if (before.state === 'proven') expect(after.state).toBe('proven');
          if (!after.hasBytes)
            expect(mayLoseBytes(after) || after.state === 'unfinished').toBe(true);
          if (after.state === 'proven')
            expect(after.receipt?.digest).toBe(`sha256:${after.sha256}`);
          if (after.state === 'discarded' && before.state !== 'discarded')
            expect(event.kind).toBe('discarded');
        }
      }),
    );
  });
});

describe('retryDelayMs', () => {
  it('grows, and never waits for more than five minutes', () => {
    fc.assert(
      fc.property(fc.nat(200), fc.double({ min: 0, max: 1, noNaN: true }), (tries, chance) => {
        const delay = retryDelayMs(tries, chance);
        expect(delay).toBeGreaterThanOrEqual(500);
        expect(delay).toBeLessThanOrEqual(300_000);
        expect(retryDelayMs(tries + 1, chance)).toBeGreaterThanOrEqual(delay);
      }),
    );
  });
});

describe('roomLeft', () => {
  const room = (leftBytes: number) => ({ usedBytes: 1e9, quotaBytes: 1e9 + 50e6 + leftBytes });
  it('tells before it is full, and is full before a picture would not fit', () => {
    expect(roomLeft(room(1e9), [4e6]).state).toBe('enough');
    expect(roomLeft(room(24 * 4e6), [4e6])).toMatchObject({ state: 'tell', leftPictures: 24 });
    expect(roomLeft(room(3.9e6), [4e6]).state).toBe('full');
    expect(roomLeft({ usedBytes: 2, quotaBytes: 1 }, []).state).toBe('full');
  });
});

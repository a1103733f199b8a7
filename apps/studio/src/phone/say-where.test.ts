import { rakingJob as job } from './queue/job.fixture.js';
import { freshPicture, type Picture } from './queue/picture.js';
import { sayJob, sayKeeping, sayWhere } from './say-where.js';

const picture: Picture = freshPicture({
  id: 'p',
  archiveId: 'a',
  takenAt: '2026-03-04T10:00:00+00:00',
  fileName: 'p.jpg',
  contentType: 'image/jpeg',
  sizeBytes: 1,
  job,
});

describe('sayJob', () => {
  it('states the lamp', () => {
    expect(sayJob(job)).toBe('raking light from 9 o’clock, inside, before');
    expect(sayJob({ ...job, clockHour: null })).toBe('raking light, inside, before');
    expect(sayJob({ ...job, kind: 'rubbing' })).toBe('rubbing, inside, before');
  });
});

describe('sayWhere', () => {
  it('says that a picture is in the archive only once that was proven', () => {
    const receipt = { mediaId: 'm', logId: 's', seq: 10482, digest: 'sha256:aa' };
    const states = (['writing', 'held', 'waiting', 'received', 'refused'] as const).map((state) =>
      sayWhere({ ...picture, state, receipt }, null),
    );
    for (const words of states) expect(words).not.toMatch(/in the archive/);
    expect(sayWhere({ ...picture, state: 'proven', receipt, hasBytes: false }, null)).toBe(
      'in the archive, entry 10\u202f482',
    );
  });
});

describe('sayKeeping', () => {
  it('is safe only when secure, installed and persistent', () => {
    for (const isSecure of [true, false])
      for (const isInstalled of [true, false])
        for (const isPersistent of [true, false, null])
          expect(sayKeeping({ isSecure, isInstalled, isPersistent }).isSafe).toBe(
            isSecure && isInstalled && isPersistent === true,
          );
  });
});

import fc from 'fast-check';
import type { Media } from '../platform/api/media.js';
import { eachOnce, readOlder } from './read-older.js';

/** Of two that came in at one moment the greater id comes first. */
const picture = (moment: number, id = moment): Media =>
  ({
    mediaId: `0000${id}`.slice(-5),
    recordedAt: new Date(Date.UTC(2026, 0, 1, 0, moment)).toISOString(),
  }) as Media;
const ids = (media: readonly Media[]) => media.map(({ mediaId }) => mediaId);

/** An archive whose pages begin after the picture that is named. */
function archiveOf(media: readonly Media[], limit: number) {
  const asked: string[] = [];
  return {
    asked,
    page: (after: string) => {
      asked.push(after);
      const from = media.findIndex(({ mediaId }) => mediaId === after) + 1;
      const items = media.slice(from, from + limit);
      const isLast = from + limit >= media.length;
      return Promise.resolve({ items, next: isLast ? null : items.at(-1)!.mediaId });
    },
  };
}
const newest = (count: number) => Array.from({ length: count }, (_, i) => picture(count - i));

it('goes on by one page, to the end and not beyond', async () => {
  const media = newest(10);
  const { page, asked } = archiveOf(media, 4);
  const first = { items: [], next: media[2]!.mediaId };
  const one = await readOlder(first, { downTo: undefined, isMore: true }, page);
  expect(ids(one.items)).toEqual(ids(media.slice(3, 7)));
  expect(one.brought).toEqual(one.items);
  const two = await readOlder(one, { downTo: undefined, isMore: true }, page);
  expect(ids(two.items)).toEqual(ids(media.slice(3)));
  expect(ids(two.brought)).toEqual(ids(media.slice(7)));
  expect(two.next).toBeNull();
  const end = await readOlder(two, { downTo: undefined, isMore: true }, page);
  expect([end.items, end.brought, asked.length]).toEqual([two.items, [], 2]);
});

it('read anew, reaches as far back as before, whatever came in and however it was paged', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 1, max: 40 }),
      fc.integer({ min: 0, max: 30 }),
      fc.integer({ min: 1, max: 9 }),
      fc.integer({ min: 1, max: 9 }),
      fc.integer({ min: 0, max: 4 }),
      fc.boolean(),
      async (count, come, withPanel, limit, pages, isMore) => {
        const before = newest(count);
        const old = archiveOf(before, limit);
        let held = { items: [] as readonly Media[], next: before[withPanel - 1]?.mediaId ?? null };
        for (let i = 0; i < pages; i++)
          held = await readOlder(held, { downTo: undefined, isMore: true }, old.page);
        const now = newest(count + come);
        const after = archiveOf(now, limit);
        const next = withPanel < now.length ? now[withPanel - 1]!.mediaId : null;
        const read = await readOlder(
          { items: [], next },
          { downTo: held.items.at(-1), isMore },
          after.page,
        );
        const shown = eachOnce(now.slice(0, withPanel), read.items);
        // no gap, none twice, in the archive's order
        expect(ids(shown)).toEqual(ids(now.slice(0, shown.length)));
        expect(ids(shown)).toEqual(expect.arrayContaining(ids(held.items)));
        expect(read.next === null).toBe(shown.length === now.length);
      },
    ),
    { seed: 20_261_126 },
  );
});

it('stops where a picture that is gone had been', async () => {
  const media = newest(12);
  const { page, asked } = archiveOf(
    media.filter((_, i) => i !== 6),
    4,
  );
  const read = await readOlder(
    { items: [], next: media[2]!.mediaId },
    { downTo: media[6], isMore: false },
    page,
  );
  expect(ids(read.items)).toEqual(ids([...media.slice(3, 6), media[7]!]));
  expect(asked).toHaveLength(1);
});

it('shows each once, newest first, at one moment the greater id first', () => {
  const fresh = { ...picture(3), note: 'as it is now' };
  const media = eachOnce(
    [picture(5), fresh, picture(1)],
    [picture(4, 7), picture(4, 8), picture(3)],
  );
  expect(ids(media)).toEqual(['00005', '00008', '00007', '00003', '00001']);
  expect(media[3]).toBe(fresh);
});

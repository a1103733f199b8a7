/** Lists on paper: what stands on what, every piece and lead, read back with pdf.js. */
import { readPdf } from '../../libs/print/src/read-pdf.js';
import { type ApiArchive, answer, startApiArchive, twoPieces } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
}, 60_000);
afterAll(() => archive.close());

async function wordsOf(path: string): Promise<string[]> {
  const answered = await archive.keeper.get(path);
  expect([answered.status, answered.type]).toEqual([200, 'application/pdf']);
  const pages = await readPdf(answered.body as Buffer);
  return pages.flatMap((page) => page.words.map(({ text }) => text));
}

const windowList = (list: string) => `/v1/windows/${site.windowId}/checklists/${list}`;
const panelList = (list: string) => `/v1/panels/${site.panels['2a']!}/checklists/${list}`;

// 2a stands on 1a: out from the top down, back from the bottom up (common practice, no source)
it('a window is listed as its panels come out, and the other way round as they go back', async () => {
  // twice each: once on the small drawing, panels from the lowest row up, then in the list
  const marks = (words: readonly string[]) => words.filter((word) => /^[12]a$/.test(word));
  const out = await wordsOf(windowList('removal'));
  expect(marks(out)).toEqual(['1a', '2a', '2a', '1a']);
  expect(out).toContain('nothing stands on it');
  expect(out).toContain('first out: 2a');
  const back = await wordsOf(windowList('refixing'));
  expect(marks(back)).toEqual(['1a', '2a', '1a', '2a']);
  expect(back).toContain('stands on the sill');
  expect(back).toContain('stands on 1a');
});

it('a panel is listed by its lead drawing, and refused without one', async () => {
  for (const list of ['dismantling', 'rebuild'])
    await answer(archive.keeper.get(panelList(list)), 404);
  await answer(
    archive.keeper.post(
      `/v1/panels/${site.panels['2a']!}/nets`,
      { sketch: twoPieces(), note: 'from the rubbing' },
      { 'If-Match': '"0"' },
    ),
    201,
  );
  for (const list of ['dismantling', 'rebuild']) {
    const words = await wordsOf(panelList(list));
    // on the small drawing, then in the list
    expect(words.filter((word) => /^\d+$/.test(word))).toEqual(['1', '2', '1', '2']);
    expect(words).toContain('Pieces, 2 in all');
    expect(words.some((word) => / mm$/.test(word))).toBe(true);
  }
});

it('a list that nobody has, and a window of somebody else', async () => {
  await answer(archive.keeper.get(windowList('rebuild')), 400);
  const stranger = await archive.person('stranger', 'reader', (await archive.site('STR')).siteId);
  await answer(stranger.get(windowList('removal')), 404);
  await answer(stranger.get(panelList('rebuild')), 404);
});

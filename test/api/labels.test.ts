/** Labels of a window: what stands on them, and what is refused. */
import { readPdf } from '../../libs/print/src/read-pdf.js';
import { type ApiArchive, drawTwoPieces, startApiArchive } from '../support/api-archive.js';

let archive: ApiArchive;
let site: Awaited<ReturnType<ApiArchive['site']>>;

beforeAll(async () => {
  archive = await startApiArchive();
  site = await archive.site('SLM');
  await drawTwoPieces(archive, site.panels['2b']!);
}, 60_000);
afterAll(() => archive.close());

const path = (query: string) => `/v1/windows/${site.windowId}/labels.pdf?${query}`;
const pages = async (query: string) => {
  const told = await archive.keeper.get(path(query)).expect(200);
  expect(told.headers['content-type']).toContain('application/pdf');
  return readPdf(new Uint8Array(told.body as Buffer));
};

describe('labels', () => {
  it('of all panels stand on A4, with weight only where there is a drawing', async () => {
    const [page] = await pages('of=panels');
    expect([page!.widthMm, page!.heightMm].map(Math.round)).toEqual([210, 297]);
    for (const mark of Object.keys(site.panels)) expect(page!.text).toContain(mark);
    expect(page!.text).toContain('this side is the inside face');
    expect(page!.text.match(/computed/g)).toHaveLength(1);
  }, 60_000);

  it('of the pieces of one panel come off a roll one by one, with their cut size', async () => {
    const labels = await pages('of=pieces&panels=2b&stock=roll&heightMm=62&face=outside');
    expect(labels).toHaveLength(2);
    for (const { widthMm } of labels) expect(widthMm).toBeCloseTo(62, 1);
    expect(labels[0]!.text).toContain('2b.1');
    expect(labels[1]!.text).toMatch(/2b\.2.*outside face.*\d+ g, computed.*mm cut/);
  }, 60_000);

  it('of a crate name what lies in it', async () => {
    const [page] = await pages('of=crate&crate=north+2&panels=1a,2b&widthMm=210&heightMm=148');
    expect(page!.text).toMatch(/crate north 2.*2 panels: 1a 2b/);
    expect(page!.text).toMatch(/of 1 panel, without the crate/);
  }, 60_000);

  it('are refused in words where there is nothing to label', async () => {
    const nobody = await archive.keeper.get(path('of=panels&panels=9z')).expect(404);
    expect(nobody.body).toMatchObject({ type: '/problems/panel-unknown' });
    const none = await archive.keeper.get(path('of=pieces&panels=1a')).expect(400);
    expect(none.body).toMatchObject({ type: '/problems/request-invalid', field: 'of' });
    await archive.keeper.get(path('widthMm=3')).expect(400);
    await archive.anyone.get(path('of=panels')).expect(401);
  });
});

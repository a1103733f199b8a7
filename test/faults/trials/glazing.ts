/** What people work on in a trial: two panels, and a rubbing of one of them that can be read. */
import { readFileSync } from 'node:fs';
import type { Client } from '../../support/media-archive.js';
import type { Place } from './act.js';

const SAMPLE = new URL('../../../fixtures/rubbings/medium/', import.meta.url);
const read = (name: string) => readFileSync(new URL(name, SAMPLE));

export async function placeIn(keeper: Client, siteId: string): Promise<Place> {
  const panelIds = await Promise.all(
    ['1a', '2a'].map(async (mark) => {
      const { body } = await keeper.json<{ panelId: string }>('GET', `/v1/marks/SLM.wI.${mark}`);
      return body.panelId;
    }),
  );
  return { siteId, panelIds, extraction: await readableRubbing(keeper, siteId, panelIds[0]!) };
}

async function readableRubbing(
  keeper: Client,
  siteId: string,
  panelId: string,
): Promise<Place['extraction']> {
  const picture = await keeper.fetch(
    `/v1/sites/${siteId}/media?fileName=sheet.jpg&kind=rubbing&subjects=wI.1a`,
    { method: 'PUT', body: read('rubbing.jpg'), headers: { 'Content-Type': 'image/jpeg' } },
  );
  const { mediaId } = (await picture.json()) as { mediaId: string };
  const made = await keeper.json<{ rubbingId: string }>('POST', `/v1/panels/${panelId}/rubbings`, {
    conditions: { paintTested: true, looseAreas: 'none', panelSupported: true },
    sheet: {
      medium: 'heelball on lining paper',
      face: 'inside',
      sheets: 1,
      takenBy: 'Glazier',
      shelf: 'A1',
    },
  });
  if (made.status !== 201) throw new Error(JSON.stringify(made.body));
  const { images } = JSON.parse(read('input.json').toString()) as {
    images: { control: object }[];
  };
  const taps = (JSON.parse(read('clicks.json').toString()) as Record<string, unknown>)[
    'rubbing.jpg'
  ];
  return {
    path: `/v1/rubbings/${made.body.rubbingId}/extractions`,
    body: { pictures: [{ mediaId, control: images[0]!.control, taps }] },
  };
}

/** The campaign on the west window through the routes that a studio works by, in the order of its days. */
import type { DemoClient } from './demo-client.js';
import {
  BROKEN,
  CAMPAIGN,
  CONSENT,
  CRATES,
  ESTIMATES,
  MATERIALS,
  PROPOSAL,
  PROTECTION,
  REFIXED,
  REMOVALS,
  WORK,
} from './west-campaign.js';
import { westWork } from './west-window-work.js';

interface Panel {
  readonly panelId: string;
  readonly mark: string;
  readonly workState: string;
  readonly version: number;
}

export interface WestWindow {
  readonly siteId: string;
  readonly windowId: string;
  readonly surveyor: DemoClient;
  readonly glazier: DemoClient;
}

/** Where each panel of the west window is today: out, on the bench, rebuilt, put back. */
export async function recordWhereabouts({ windowId, surveyor }: WestWindow): Promise<void> {
  for (const removal of REMOVALS)
    await surveyor.post(
      `/v1/windows/${windowId}/removals`,
      `demo-out-${removal.happened}`,
      removal,
    );
  const { panels } = await surveyor.get<{ panels: Panel[] }>(`/v1/windows/${windowId}`);
  for (const { panelId, mark, workState } of panels) {
    // A filling that was cut short goes on after the state that stands; what is back was done.
    if (workState === 'in-place') continue;
    const acts = westWork(mark);
    const done = acts.findIndex((act) => act.workState === workState) + 1;
    for (const act of acts.slice(done)) {
      const { version } = await surveyor.get<Panel>(`/v1/panels/${panelId}`);
      await surveyor.put(
        `/v1/panels/${panelId}`,
        `demo-west-${mark}-${act.workState}`,
        act,
        version,
      );
    }
  }
  await surveyor.post(`/v1/windows/${windowId}/refixes`, 'demo-refixed', REFIXED);
  await surveyor.post(`/v1/windows/${windowId}/protection`, 'demo-protection', PROTECTION);
}

/** Campaign, estimates, proposal with the keepers' letter; then the work, its hours, one departure. */
export async function recordCampaign({ siteId, glazier }: WestWindow): Promise<void> {
  const { campaignId } = await glazier.post<{ campaignId: string }>(
    `/v1/sites/${siteId}/campaigns`,
    'demo-campaign',
    CAMPAIGN,
  );
  const campaign = `/v1/campaigns/${campaignId}`;
  const [first, second] = ESTIMATES;
  await glazier.post(`${campaign}/estimates`, 'demo-estimate-first', first);
  const { issueId } = await glazier.post<{ issueId: string }>(
    `${campaign}/proposals`,
    'demo-proposal',
    PROPOSAL,
  );
  await glazier.post(`/v1/proposals/${issueId}/send`, 'demo-proposal-sent', {
    how: 'letter',
    to: 'keepers of Sallowmere Chapel',
    happened: '2026-02-20',
  });
  const { consentId, conditions } = await glazier.post<{
    consentId: string;
    conditions: { conditionId: string }[];
  }>(`/v1/proposals/${issueId}/letter`, 'demo-consent', CONSENT);
  await glazier.post(
    `/v1/consents/${consentId}/conditions/${conditions[0]!.conditionId}/met`,
    'demo-consent-met',
    { how: 'Tested on the bench, panel by panel, before the first brush.', happened: '2026-05-28' },
  );
  await recordWork(siteId, campaign, glazier);
  await glazier.post(`${campaign}/estimates`, 'demo-estimate-second', second);
}

async function recordWork(siteId: string, campaign: string, glazier: DemoClient): Promise<void> {
  const materialIds = new Map<string, string>();
  for (const { key, ...said } of MATERIALS) {
    const material = { ...said, maker: 'as on the tin' };
    const { materialId } = await glazier.post<{ materialId: string }>(
      '/v1/materials',
      `demo-material-${key}`,
      material,
    );
    materialIds.set(key, materialId);
  }
  for (const { key, minutes, materials, ...said } of WORK) {
    const { interventionId } = await glazier.post<{ interventionId: string }>(
      `/v1/sites/${siteId}/interventions`,
      `demo-west-work-${key}`,
      {
        ...said,
        materials: materials.map(({ of, quantity }) => ({
          materialId: materialIds.get(of),
          quantity,
        })),
      },
    );
    await glazier.post(`${campaign}/time`, `demo-time-${key}`, {
      minutes,
      task: said.operation,
      interventionId,
      happened: said.happened,
    });
  }
}

/** Three crates: one that arrived with a broken panel, one on the road, one packed. */
export async function recordCrates({ siteId, glazier }: WestWindow): Promise<void> {
  for (const { mark, panels, how } of CRATES) {
    const { crateId } = await glazier.post<{ crateId: string }>(
      `/v1/sites/${siteId}/crates`,
      `demo-crate-${mark}`,
      { mark, slots: 8 },
    );
    const move = (step: string, said: object) =>
      glazier.post<{ movementId: string }>(
        `/v1/sites/${siteId}/movements`,
        `demo-crate-${mark}-${step}`,
        said,
      );
    await move('packed', {
      things: panels.map((panel, i) => ({ mark: `wI.${panel}`, slot: String(i + 1) })),
      to: { kind: 'crate', crateId },
      happened: '2026-05-06',
    });
    if (how === 'packed') continue;
    const { movementId } = await move('sent', {
      crateIds: [crateId],
      to: { kind: 'holder', role: 'carrier', place: 'the boat to the workshop' },
      happened: '2026-05-07',
    });
    const seen = (broken: string | null) =>
      panels.map((panel) => ({
        mark: `wI.${panel}`,
        condition: panel === broken ? 'broken' : 'sound',
      }));
    const sign = (step: string, said: object) =>
      glazier.post(`/v1/movements/${movementId}/${step}`, `demo-crate-${mark}-${step}`, said);
    await sign('hand-over', { byRole: 'glazier', seen: seen(null), happened: '2026-05-07' });
    if (how === 'on-the-way') continue;
    await sign('receive', {
      byRole: 'conservator',
      seen: seen(BROKEN),
      unpackedTo: { kind: 'bench' },
      happened: '2026-05-08',
    });
  }
}

/** The part of the story that works in a campaign: called by {@link useEveryCommand}. */
import {
  type Archive,
  answerFlag,
  beginCampaign,
  type Command,
  closeCampaign,
  countMaterial,
  dischargeCondition,
  enterMaterial,
  extendCampaign,
  findRows,
  gatherRecord,
  giveConsent,
  type Outcome,
  recordConsent,
  recordIntervention,
  recordWorkTime,
  sendProposal,
  signTreatment,
  writeEstimate,
  writeProposal,
} from '#libs/archive';

/** Makes a change as the keeper; the answer is the command's. */
export type By = <B, P, A extends object, R>(
  command: Command<B, P, A, R>,
  body: unknown,
  ifMatch?: number,
) => Promise<Outcome<A>['answer']>;

/** Work in a campaign, out of order and answered for. */
export async function useCampaignCommands(
  archive: Archive,
  by: By,
  { siteId, glazierId, panelId, code }: Record<'siteId' | 'glazierId' | 'panelId' | 'code', string>,
): Promise<void> {
  const campaign = await by(beginCampaign, {
    siteId,
    title: 'West window, first light',
    scope: ['wI.1a'],
    people: [{ personId: glazierId, duty: 'glazier' }],
    happened: '2026-02',
  });
  const { campaignId } = campaign;
  await by(
    extendCampaign,
    { campaignId, scope: ['wI.1a', 'wI.2a'], note: 'the panel above bears on it' },
    campaign.version,
  );
  await by(recordIntervention, {
    siteId,
    campaignId,
    subjects: ['wI.1a'],
    operation: 'relead.whole',
    happened: '2026-03-04',
    materials: [
      { name: 'lead came, H 6 mm', batch: '12', expires: '2025', concentration: 'as cast' },
    ],
    workerId: glazierId,
  });
  const line = {
    subjects: ['wI.1a'],
    need: 'the leads are slack',
    options: [
      { what: 'leave it', operations: [], speaksAgainst: 'it will fall' },
      { what: 'lead it anew in part', operations: ['relead.part', 'bond.epoxy'] },
    ],
    chosen: 1,
    why: 'most of the lead is sound',
    materials: ['lead came', 'epoxy resin'],
    where: 'taken-out',
  };
  const draft = await by(writeProposal, { campaignId, title: 'First light', lines: [line] });
  const long = { ...line, need: 'the leads are slack. '.repeat(250) };
  const { proposalId } = draft;
  const sent = { how: 'letter', to: `Owner of ${code}`, happened: '2026-03-10' };
  const first = await by(
    writeProposal,
    { campaignId, proposalId, title: 'First light', lines: [long] },
    draft.version,
  );
  await by(sendProposal, { issueId: first.issueId, ...sent });
  const letter = await by(recordConsent, {
    issueId: first.issueId,
    decision: 'given',
    by: `Owner of ${code}`,
    forWhom: 'the keepers of the chapel',
    happened: '2026-03-20',
    expires: '2026-12',
    conditions: [{ text: 'no new glass', due: 'before-work' }, { text: 'a report' }],
  });
  const second = await by(
    writeProposal,
    { campaignId, proposalId, title: 'First light, again', lines: [line] },
    letter.version,
  );
  await by(sendProposal, { issueId: second.issueId, ...sent, how: 'program' });
  await by(giveConsent, {
    issueId: second.issueId,
    digest: second.digest,
    decision: 'refused',
    happened: '2027-01-04',
  });
  const { materialId, version } = await by(enterMaterial, {
    name: 'epoxy resin, two parts',
    maker: 'as on the tin',
    batch: '31',
    expires: '2027-01',
    unit: 'g',
    quantity: '500',
  });
  const bonded = await by(recordIntervention, {
    siteId,
    campaignId,
    subjects: ['wI.1a'],
    operation: 'bond.epoxy',
    happened: '2026-04-02',
    materials: [{ materialId, quantity: '2.5', concentration: '100:40' }],
  });
  const { interventionId } = bonded;
  const some = { low: 8, likely: 10, high: 14 };
  const lines = Array.from({ length: 30 }, (_, i) => ({
    what: `bond, row ${i + 1}`,
    unit: 'piece',
    quantity: some,
    minutesPerUnit: some,
    pricePerUnit: '0.35',
  }));
  const terms = { currency: 'EUR', perHour: '62.50', contingencyRatio: '0.1' };
  const reckoned = { campaignId, title: 'First light', terms };
  const alternatives = [{ name: 'in the studio', lines: lines.slice(0, 1) }];
  await by(writeEstimate, { ...reckoned, stage: 'first', alternatives });
  await by(writeEstimate, { ...reckoned, stage: 'second', alternatives: [{ name: 'all', lines }] });
  await by(countMaterial, { materialId, quantity: '490.25' }, version);
  const worked = { minutes: 95, task: 'bond.epoxy', happened: '2026-04-02' };
  await by(recordWorkTime, { campaignId, interventionId, ...worked });
  for (const { conditionId } of letter.conditions) {
    const met = { how: 'looked at together', happened: '2026-05' };
    await by(dischargeCondition, { consentId: letter.consentId, conditionId, ...met });
  }
  const flags = await findRows(archive.reads, 'flag', { campaignId });
  for (const { flagId } of flags)
    await by(answerFlag, { flagId, reason: 'the frame had given way' });
  const record = await gatherRecord(archive, 'treatment', siteId, `${code}.wI.1a`);
  const recordVersion = record.version.version;
  await by(signTreatment, { panelId, recordVersion, happened: '2026-06', note: 'at the bench' });
  await by(closeCampaign, {
    campaignId,
    happened: '2026-06',
    residualRisk: 'the stone above moves',
    nextInspection: '2031',
  });
}

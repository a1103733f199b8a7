/** The part of the story that surveys a window: called by {@link useEveryCommand}. */
import {
  answerTest,
  describeMaterials,
  describeTechnique,
  recordDeflection,
  recordSurvey,
  recordTest,
  withdrawDeflection,
  withdrawSurvey,
  withdrawTest,
} from '#libs/archive';
import type { By } from './every-campaign-command.js';

/** Two visits, one of them large and taken back; tests, readings of a bulge, what the panel and a piece of it are made of. */
export async function useSurveyCommands(
  by: By,
  at: {
    siteId: string;
    windowId: string;
    panelId: string;
    /** somebody said how it is made: this is the version of that */
    pieceId: string;
    techniqueVersion: number;
    mediaId: string;
  },
): Promise<void> {
  const { siteId, windowId, panelId, pieceId, mediaId } = at;
  const seen = { panelId, conditionClass: 2, urgency: 1, recommendation: 2 };
  const visit = {
    windowId,
    purpose: 'five-year survey',
    images: [mediaId],
    elements: [{ element: 'stone', conditionClass: 1, reason: 'a spall at the sill' }],
    happened: '2026-04',
    nextInspection: '2031',
  };
  await by(recordSurvey, {
    ...visit,
    panels: [{ ...seen, reasons: [{ text: 'slack at the foot', source: 'surveyor' }] }],
  });
  const long = 'what was seen of the leads at the foot of the panel, '.repeat(100);
  const wrong = await by(recordSurvey, {
    ...visit,
    panels: [{ ...seen, reasons: [{ text: long, source: 'surveyor' }] }],
  });
  await by(withdrawSurvey, { surveyId: wrong.surveyId, reason: 'another window' });
  const test = { siteId, subject: 'wI.1a', place: 'at the sill', happened: '2026-04-02' };
  await by(recordTest, {
    ...test,
    kind: 'paint-adhesion',
    atMm: [118.2, 214],
    method: 'a soft brush',
    known: { outcome: 'holds', evidence: [mediaId] },
  });
  const sample = await by(recordTest, { ...test, kind: 'putty-asbestos', method: 'scalpel, wet' });
  await by(answerTest, { testId: sample.testId, outcome: 'not-found', happened: '2026-04-20' });
  const twice = await by(recordTest, { ...test, kind: 'lead-alloy', method: 'cut end' });
  await by(withdrawTest, { testId: twice.testId, reason: 'recorded twice' });
  for (const steps of [4, 24]) {
    const readings = Array.from({ length: steps * steps }, (_, i) => {
      const [x, y] = [
        ((i % steps) * 400) / (steps - 1),
        (Math.floor(i / steps) * 300) / (steps - 1),
      ];
      return [x, y, 8 * Math.sin((Math.PI * x) / 400) * Math.sin((Math.PI * y) / 300)];
    });
    const said = { datum: 'string-line', face: 'inside', sense: 'out', noiseMm: 0.5 };
    const read = await by(recordDeflection, { panelId, ...said, readings, happened: '2026-04' });
    if (steps === 4)
      await by(withdrawDeflection, { deflectionId: read.deflectionId, reason: 'coarse' });
  }
  const made = await by(describeMaterials, { panelId, glass: { layersMm: [3] } });
  await by(describeMaterials, { panelId, glass: { layersMm: [3] }, weighedKg: 2.4 }, made.version);
  const flashed = { is: 'glass', glass: 'flashed', thicknessMm: 2.8 };
  const once = await by(describeTechnique, { pieceId, layers: [flashed] }, at.techniqueVersion);
  await by(
    describeTechnique,
    {
      pieceId,
      held: { by: 'came-h-flat' },
      layers: [
        {
          ...flashed,
          flash: { face: 'outside' },
          painted: [{ how: 'silver-stain', face: 'outside' }],
        },
        { is: 'interlayer', material: 'neutral silicone' },
        { is: 'glass', glass: 'float', thicknessMm: 2 },
      ],
      generations: [
        { mark: '1r2', reason: 'shattered', happened: '1925~', original: { fate: 'lost' } },
      ],
    },
    once.version,
  );
}

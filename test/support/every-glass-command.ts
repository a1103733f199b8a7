/** The part of the story that makes new work: called by {@link useEveryCommand}. */
import {
  answerFlag,
  chooseGlass,
  cutGlass,
  describeSheet,
  enterMaterial,
  findRows,
  priceMaterial,
  type Tx,
} from '#libs/archive';
import type { By } from './every-campaign-command.js';

/** A sheet and what it costs, said twice; glass for pieces out of stock, taken back, and one that is cut. */
export async function useGlassCommands(
  by: By,
  reads: Tx,
  { panelId, pieces }: { panelId: string; pieces: readonly string[] },
): Promise<void> {
  const { materialId } = await by(enterMaterial, {
    name: 'blue, streaky',
    batch: '4',
    unit: 'sheet',
    quantity: '0',
  });
  const sheet = { materialId, glass: 'pot-metal', colour: 'blue', thicknessMm: 3 };
  const said = await by(describeSheet, { ...sheet, widthMm: 900, heightMm: 600 });
  await by(
    describeSheet,
    { ...sheet, widthMm: 1900, heightMm: 1600, grain: 'along-height' },
    said.version,
  );
  const price = { materialId, currency: 'EUR', per: 'm2' };
  const first = await by(priceMaterial, { ...price, price: '80' });
  await by(priceMaterial, { ...price, price: '82.50' }, first.version);
  await by(chooseGlass, { panelId, pieces, materialId, grainDeg: 30, held: { by: 'came-h-flat' } });
  for (const { flagId } of await findRows(reads, 'flag', {
    kind: 'glass-out-of-stock',
    state: 'open',
  })) {
    await by(answerFlag, { flagId, reason: 'it was ordered that day' });
  }
  const [one = '', ...rest] = pieces;
  await by(cutGlass, { panelId, pieces: [one], happened: '2026-11', byRole: 'glazier' });
  await by(chooseGlass, { panelId, pieces: rest, materialId: null });
}

/** What a cut list costs by the prices of the register: the lines of an estimate, without the work. */
import type { CutGlass, CutList } from '#libs/cutting';
import { dividedBy, multiplied } from '#libs/estimate';
import { cameNeeds, JOINT_PROFILE, type Net, solderJointCount } from '#libs/net';
import type { MaterialPriceRow } from '../rows.js';
import type { Tx } from '../tx.js';

/** Area as it is counted: a square metre to the square centimetre. */
const M2_DIGITS = 4;

export interface CostLine {
  /** glass, lead: what the line is for; work: without a price */
  readonly kind: 'glass' | 'lead' | 'work';
  readonly what: string;
  readonly unit: string;
  /** decimal text */
  readonly quantity: string;
  /** decimal text; null: the register has none in this currency */
  readonly pricePerUnit: string | null;
}

export interface CutCost {
  /** whole sheets as they are bought, offcuts of the stock free */
  readonly bySheet: readonly CostLine[];
  /** by the area that is in the pieces, as if the rest were kept */
  readonly byArea: readonly CostLine[];
  /** currencies in which the register has prices */
  readonly currencies: readonly string[];
}

/** Prices are decimal texts throughout; nothing is rounded to money before the estimate does it. */
export async function cutCostOf(
  tx: Tx,
  list: CutList,
  net: Net,
  currency: string | undefined,
): Promise<CutCost> {
  const prices = await tx.query<MaterialPriceRow>(
    'SELECT * FROM material_price ORDER BY entry_seq DESC',
    [],
    ['material_price'],
  );
  const currencies = [...new Set(prices.map((price) => price.currency))].sort();
  const inThis = prices.filter((price) => price.currency === (currency ?? currencies[0]));
  const shared = [...leadLines(net, inThis), ...workLines(list, net)];
  return {
    bySheet: [...list.glasses.map((one) => sheetLine(one, inThis)), ...shared],
    byArea: [...list.glasses.map((one) => areaLine(one, inThis)), ...shared],
    currencies,
  };
}

/** How the register's prices name a lead: its profile, else kind and width. */
export function leadName(need: {
  kind: string;
  widthClassMm: number;
  profile: string | null;
}): string {
  return need.profile ?? `${need.kind} ${need.widthClassMm.toFixed(1)} mm`;
}

function sheetLine(one: CutGlass, prices: readonly MaterialPriceRow[]): CostLine {
  const price = priceOf(one, prices);
  const sheetM2 = m2(one.sheetMm[0] * one.sheetMm[1]);
  return {
    kind: 'glass',
    what: `${one.name}, sheets`,
    unit: 'sheet',
    quantity: String(one.wholeSheets),
    pricePerUnit:
      price === undefined
        ? null
        : price.per === 'unit'
          ? price.price
          : atMostSix(multiplied(price.price, sheetM2)),
  };
}

function areaLine(one: CutGlass, prices: readonly MaterialPriceRow[]): CostLine {
  const price = priceOf(one, prices);
  const sheetM2 = m2(one.sheetMm[0] * one.sheetMm[1]);
  return {
    kind: 'glass',
    what: `${one.name}, by area`,
    unit: 'm²',
    quantity: m2(one.areaMm2),
    pricePerUnit:
      price === undefined
        ? null
        : price.per === 'm2'
          ? price.price
          : dividedBy(price.price, sheetM2),
  };
}

function priceOf({ materialId }: CutGlass, prices: readonly MaterialPriceRow[]) {
  return prices.find((price) => price.materialId === materialId);
}

/** Came and foil by the metre with a tenth for offcuts (libs/net); the newest price that names it. */
function leadLines(net: Net, prices: readonly MaterialPriceRow[]): CostLine[] {
  return cameNeeds(net)
    .filter(({ profile }) => profile !== JOINT_PROFILE)
    .map((need) => {
      const name = leadName(need);
      return {
        kind: 'lead' as const,
        what: name,
        unit: 'm',
        quantity: (need.grossMm / 1000).toFixed(3),
        pricePerUnit:
          prices.find(({ fits, per }) => fits === name && per === 'unit')?.price ?? null,
      };
    });
}

/** What is done, to be given its minutes: every piece, soldered joint and square metre. */
function workLines(list: CutList, net: Net): CostLine[] {
  const pieces = list.glasses.reduce((count, one) => count + one.pieces.length, 0);
  const line = (what: string, unit: string, quantity: string): CostLine => ({
    kind: 'work',
    what,
    unit,
    quantity,
    pricePerUnit: '0',
  });
  const joints = solderJointCount(net);
  const area = net.pieces.reduce((sum, { areaMm2 }) => sum + areaMm2, 0);
  return [
    line('Choose, cut and groze', 'piece', String(pieces)),
    line('Assemble', 'piece', String(pieces)),
    ...(joints === 0 ? [] : [line('Solder', 'joint', String(joints))]),
    line('Cement and clean', 'm²', m2(area)),
  ];
}

/** A price of a unit is kept to six places. */
function atMostSix(price: string): string {
  return dividedBy(price, '1');
}

function m2(mm2: number): string {
  return (mm2 / 1e6).toFixed(M2_DIGITS);
}

/** What a panel weighs, part by part, each with what it was reckoned from. */
import {
  type CameProfile,
  cutAreaMm2,
  GLASS_G_CM3,
  type GlassLayers,
  glassGrams,
  LEAD_G_CM3,
  leadWeight,
  type Net,
  type NetLead,
  type NetPiece,
  pointAlongMm,
  ringAreaMm2,
  ringCentroidMm,
  solderEstimate,
  USUAL_GLASS_MM,
  type XyMm,
} from '#libs/net';
import { type GaugedPoint, thicknessMap } from './thickness-map.js';

/** One layer of a piece, as it was described. */
export interface DescribedLayer {
  readonly is: 'glass' | 'interlayer';
  readonly thicknessMm?: number;
  /** Places on a moulded glass where it was gauged: the mean over the piece counts. */
  readonly gauged?: readonly GaugedPoint[];
  readonly densityGCm3?: number;
}

export interface PieceMaterials extends GlassLayers {
  /** From the inside outwards; counts before `layersMm` and `thicknessesMm`. */
  readonly layers?: readonly DescribedLayer[];
  /** Gauged at places spread over a moulded piece: their mean is its thickness. */
  readonly thicknessesMm?: readonly number[];
  readonly weighedG?: number;
}

/** What is known of a panel; what is not given is taken as usual, and said so. */
export interface WeightFacts {
  readonly glass?: GlassLayers;
  readonly pieces?: Readonly<Record<string, PieceMaterials>>;
  readonly profiles?: readonly {
    readonly kind: NetLead['kind'];
    readonly widthClassMm: number;
    readonly profile: CameProfile;
  }[];
  readonly solderRatio?: number;
  readonly cementRatio?: number;
  readonly bars?: readonly { readonly name: string; readonly kg: number }[];
  /** The whole panel on a scale. */
  readonly weighedKg?: number;
}

export interface PieceWeight {
  readonly pieceId: string;
  readonly grams: number;
  readonly source: 'weighed' | 'gauged' | 'given' | 'usual';
  /** Of a piece that was weighed: what its thickness must be on average. */
  readonly meanThicknessMm: number;
}

export interface PanelWeight {
  readonly glassKg: number;
  readonly leadKg: number;
  readonly solderKg: number;
  readonly cementKg: number;
  readonly barsKg: number;
  /** The sum: glass as cut, so that what hearts displace is not counted. */
  readonly netKg: number;
  /** Upper bound: glass over the whole panel, nothing taken off for hearts, and 5 % for cement and solder. */
  readonly grossKg: number;
  /** What to lift by: weighed where somebody did, else the net sum. */
  readonly kg: number;
  readonly source: 'weighed' | 'computed';
  readonly kgPerM2: number;
  /** In the panel's frame. */
  readonly centreMm: XyMm;
  /** Share of the lead's length whose section was gauged, and of the glass by weight that was measured. */
  readonly gaugedLeadRatio: number;
  readonly measuredGlassRatio: number;
  readonly pieces: readonly PieceWeight[];
  readonly formulas: readonly string[];
}

/** For cement and solder on top of a gross sum. Common practice, no source. */
const GROSS_EXTRA = 0.05;

export function panelWeight(net: Net, facts: WeightFacts = {}): PanelWeight {
  const pieces = net.pieces.map((piece) => pieceWeight(piece, facts));
  const glassKg = sum(pieces.map(({ grams }) => grams)) / 1000;
  const leads = net.leads.map((lead) => weighedLead(lead, net, facts));
  const leadKg = sum(leads.map(({ kg }) => kg));
  const solder = solderEstimate(net);
  const solderKg = (solder.grams / 1000) * (facts.solderRatio ?? 1);
  const cementKg = (glassKg + leadKg + solderKg) * (facts.cementRatio ?? 0);
  const barsKg = sum((facts.bars ?? []).map(({ kg }) => kg));
  const netKg = glassKg + leadKg + solderKg + cementKg + barsKg;
  const outlineM2 = ringAreaMm2(net.outlineMm) / 1e6;
  const grossKg =
    (glassGrams(outlineM2 * 1e6, facts.glass) / 1000 + leadKg) * (1 + GROSS_EXTRA) + barsKg;
  const lengthMm = sum(leads.map((lead) => lead.lengthMm));
  const measuredG = sum(
    pieces.filter(({ source }) => source !== 'usual').map(({ grams }) => grams),
  );
  return {
    glassKg,
    leadKg,
    solderKg,
    cementKg,
    barsKg,
    netKg,
    grossKg,
    kg: facts.weighedKg ?? netKg,
    source: facts.weighedKg === undefined ? 'computed' : 'weighed',
    kgPerM2: (facts.weighedKg ?? netKg) / outlineM2,
    centreMm: centreOf([
      ...net.pieces.map((piece, i) => ({ at: middleOf(piece), kg: pieces[i]!.grams / 1000 })),
      ...leads.map(({ at, kg }) => ({ at, kg })),
    ]),
    gaugedLeadRatio:
      lengthMm === 0
        ? 0
        : sum(leads.filter(({ isGauged }) => isGauged).map((lead) => lead.lengthMm)) / lengthMm,
    measuredGlassRatio: glassKg === 0 ? 0 : measuredG / 1000 / glassKg,
    pieces,
    formulas: formulasOf(net, facts, solder.formula),
  };
}

function pieceWeight(piece: NetPiece, facts: WeightFacts): PieceWeight {
  const { pieceId } = piece;
  const own = facts.pieces?.[pieceId];
  const areaMm2 = cutAreaMm2(piece.cutRingMm);
  const densityGCm3 = own?.densityGCm3 ?? facts.glass?.densityGCm3 ?? GLASS_G_CM3;
  if (own?.weighedG !== undefined) {
    const meanThicknessMm =
      areaMm2 === 0 ? 0 : meanThicknessOfMm(own.weighedG, areaMm2, densityGCm3);
    return { pieceId, grams: own.weighedG, source: 'weighed', meanThicknessMm };
  }
  const layers = own?.layers ?? [];
  if (isTold(layers)) return layeredWeight(piece, areaMm2, layers, densityGCm3);
  const gauged = own?.thicknessesMm;
  const given = own?.layersMm ?? facts.glass?.layersMm;
  const layersMm =
    gauged === undefined ? (given ?? [USUAL_GLASS_MM]) : [sum(gauged) / gauged.length];
  return {
    pieceId,
    grams: glassGrams(areaMm2, { layersMm, densityGCm3 }),
    source: gauged !== undefined ? 'gauged' : given !== undefined ? 'given' : 'usual',
    meanThicknessMm: sum(layersMm),
  };
}

/** One glass of which nobody said how thick it is tells no more than is taken as usual. */
function isTold(layers: readonly DescribedLayer[]): boolean {
  return (
    layers.length > 1 ||
    layers.some(({ thicknessMm, gauged }) => thicknessMm !== undefined || gauged !== undefined)
  );
}

function layeredWeight(
  piece: NetPiece,
  areaMm2: number,
  layers: readonly DescribedLayer[],
  densityGCm3: number,
): PieceWeight {
  let grams = 0;
  let meanThicknessMm = 0;
  const from = new Set<PieceWeight['source']>();
  for (const layer of layers) {
    if (layer.is === 'interlayer') {
      // What it is filled with is known where somebody gave its density.
      grams += (areaMm2 * (layer.thicknessMm ?? 0) * (layer.densityGCm3 ?? 0)) / 1000;
      continue;
    }
    const isGauged = layer.gauged !== undefined && layer.gauged.length > 0;
    const mm = isGauged
      ? thicknessMap(layer.gauged, outlineOf(piece)).meanMm
      : (layer.thicknessMm ?? USUAL_GLASS_MM);
    from.add(isGauged ? 'gauged' : layer.thicknessMm === undefined ? 'usual' : 'given');
    meanThicknessMm += mm;
    grams += (areaMm2 * mm * (layer.densityGCm3 ?? densityGCm3)) / 1000;
  }
  const source = from.size === 1 ? [...from][0]! : 'given';
  return { pieceId: piece.pieceId, grams, source, meanThicknessMm };
}

function outlineOf({ cutRingMm, centreRingMm }: NetPiece): readonly XyMm[] {
  return cutRingMm.length < 3 ? centreRingMm : cutRingMm;
}

/** Thickness that a piece must have on average: weight over area and density. */
export function meanThicknessOfMm(
  grams: number,
  areaMm2: number,
  densityGCm3 = GLASS_G_CM3,
): number {
  return (grams * 1000) / (areaMm2 * densityGCm3);
}

function weighedLead(lead: NetLead, net: Net, facts: WeightFacts) {
  const known = facts.profiles?.find(
    ({ kind, widthClassMm }) => kind === lead.kind && widthClassMm === lead.widthClassMm,
  );
  const isNamed = net.profiles?.some(({ name }) => name === lead.profile) ?? false;
  const { grams, lengthMm, isGauged } =
    isNamed || known === undefined
      ? leadWeight(lead, net)
      : leadWeight({ ...lead, profile: known.profile.name }, { ...net, profiles: [known.profile] });
  return {
    lengthMm,
    isGauged,
    kg: grams / 1000,
    at: pointAlongMm(lead.lineMm, lengthMm / 2),
  };
}

function middleOf(piece: NetPiece): XyMm {
  return ringCentroidMm(outlineOf(piece));
}

function centreOf(parts: readonly { at: XyMm; kg: number }[]): XyMm {
  const kg = sum(parts.map((part) => part.kg));
  return [
    sum(parts.map((part) => part.kg * part.at[0])) / kg,
    sum(parts.map((part) => part.kg * part.at[1])) / kg,
  ];
}

function formulasOf(net: Net, facts: WeightFacts, solderFormula: string): string[] {
  const layers = facts.glass?.layersMm;
  const described = net.pieces.filter(({ pieceId }) =>
    isTold(facts.pieces?.[pieceId]?.layers ?? []),
  );
  return [
    `glass: area as cut × thickness × ${facts.glass?.densityGCm3 ?? GLASS_G_CM3} g/cm³ (soda-lime, EN 572-1, from memory); ${layers === undefined ? `${USUAL_GLASS_MM} mm taken as usual, nobody gauged it` : `${layers.join(' + ')} mm`} where a piece says nothing else; a piece that was weighed counts as weighed`,
    ...(described.length === 0 ? [] : [layersSentence(described.map(({ pieceId }) => pieceId))]),
    `lead: section × length along centre lines × ${LEAD_G_CM3} g/cm³ (handbook value, from memory); not gauged: a flat H of the width class, leaf 1.0 mm, heart 4.8 × ${net.heartMm} mm (common practice, no source)`,
    `solder: ${solderFormula}; × ${facts.solderRatio ?? 1}`,
    (facts.cementRatio ?? 0) === 0
      ? 'cement is not in the sum'
      : `cement: ${Math.round(facts.cementRatio! * 100)} % of the rest, as given`,
    'the sum is net: glass is cut to the hearts, what they displace is not counted twice; the upper bound takes glass over the whole panel, lead, and 5 % (common practice, no source)',
    'centre of weight: pieces and leads at their middles, without solder and bars',
  ];
}

function layersSentence(pieceIds: readonly string[]): string {
  const named =
    pieceIds.length > 12 ? `${pieceIds.length} pieces` : `pieces ${pieceIds.join(', ')}`;
  return `${named}: by the layers described of them, a gauged glass by the mean of its thickness over the piece; a glass without a thickness counts ${USUAL_GLASS_MM} mm, a layer between two glasses only where its density is given`;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

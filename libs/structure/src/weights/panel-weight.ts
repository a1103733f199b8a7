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

export interface PieceMaterials extends GlassLayers {
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
  return ringCentroidMm(piece.cutRingMm.length < 3 ? piece.centreRingMm : piece.cutRingMm);
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
  return [
    `glass: area as cut × thickness × ${facts.glass?.densityGCm3 ?? GLASS_G_CM3} g/cm³ (soda-lime, EN 572-1, from memory); ${layers === undefined ? `${USUAL_GLASS_MM} mm taken as usual, nobody gauged it` : `${layers.join(' + ')} mm`} where a piece says nothing else; a piece that was weighed counts as weighed`,
    `lead: section × length along centre lines × ${LEAD_G_CM3} g/cm³ (handbook value, from memory); not gauged: a flat H of the width class, leaf 1.0 mm, heart 4.8 × ${net.heartMm} mm (common practice, no source)`,
    `solder: ${solderFormula}; × ${facts.solderRatio ?? 1}`,
    (facts.cementRatio ?? 0) === 0
      ? 'cement is not in the sum'
      : `cement: ${Math.round(facts.cementRatio! * 100)} % of the rest, as given`,
    'the sum is net: glass is cut to the hearts, what they displace is not counted twice; the upper bound takes glass over the whole panel, lead, and 5 % (common practice, no source)',
    'centre of weight: pieces and leads at their middles, without solder and bars',
  ];
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

/**
 * Finding terms: what can be recorded on glass, paint, lead and support.
 *
 * Definitions and signs are our own. `source` says where the word comes from: a trade word (common
 * practice, no source), a heading of the Corpus Vitrearum conservation guidelines of 2004 that
 * covers the subject (only the heading was seen), or Preservation Brief 33 of the US National Park
 * Service (from memory). A key, once released, keeps its meaning.
 */
import type { ColourName } from './colours.js';
import type { AreaHatchName, LineStrokeName, PointShapeName } from './hatches.js';

export type GeometryKind = 'point' | 'line' | 'area';

export type Quantity =
  | 'count'
  | 'length'
  | 'area'
  | 'share'
  | 'depth'
  | 'width'
  | 'offset'
  | 'rise'
  | 'chord'
  | 'drop'
  | 'angle'
  | 'thickness'
  | 'gap'
  | 'density'
  | 'moves';

/** Unit of each quantity; `share` is of the piece, as a ratio 0-1 shown in per cent. */
export const QUANTITY_UNITS: Record<Quantity, string> = {
  count: '',
  length: 'mm',
  area: 'mm²',
  share: '%',
  depth: 'mm',
  width: 'mm',
  offset: 'mm',
  rise: 'mm',
  chord: 'mm',
  drop: 'mm',
  angle: '°',
  thickness: 'mm',
  gap: 'mm',
  density: '/cm²',
  moves: 'yes or no',
};

export type TermGroup = 'glass' | 'paint' | 'lead' | 'support' | 'repair';

export interface TermSign {
  readonly colour: ColourName;
  readonly area?: AreaHatchName;
  readonly line?: LineStrokeName;
  readonly point?: PointShapeName;
}

export interface FindingTerm {
  /** 'glass.crack.simple' */
  readonly key: string;
  readonly group: TermGroup;
  readonly label: string;
  readonly definition: string;
  readonly geometries: readonly GeometryKind[];
  /** What is told by the drawing (count, length, area, share) or entered by hand (the others). */
  readonly quantities: readonly Quantity[];
  readonly source: 'trade word' | 'guideline heading' | 'preservation brief';
  /** An earlier repair is neutral: it is not damage until someone judges it. */
  readonly isNeutral: boolean;
  /** Keys typed one after the other: the group's letter, then the term's. */
  readonly shortcut: string;
  /** Concept of the Getty Art & Architecture Thesaurus, where one was seen in public data. */
  readonly aatId: string | null;
  readonly sign: TermSign;
}

export const TERM_GROUPS: Record<TermGroup, { label: string; letter: string }> = {
  glass: { label: 'Glass', letter: 'g' },
  paint: { label: 'Paint, stain, enamel', letter: 'p' },
  lead: { label: 'Lead, solder, cement', letter: 'l' },
  support: { label: 'Panel and support', letter: 's' },
  repair: { label: 'Earlier repairs', letter: 'r' },
};

type Row = readonly [
  key: string,
  letter: string,
  label: string,
  definition: string,
  geometries: string,
  quantities: string,
  source: 'CP' | 'CV' | 'PB',
  sign: TermSign,
];

const crack = 'blue';
const loss = 'vermilion';
const surface = 'orange';
const corrosion = 'bluish-green';

const GLASS: readonly Row[] = [
  [
    'glass.crack.simple',
    'c',
    'crack',
    'one break line, both sides still in place',
    'line',
    'length count',
    'CP',
    { colour: crack, line: 'plain' },
  ],
  [
    'glass.crack.branched',
    'b',
    'branched crack',
    'break line with one or more forks',
    'line',
    'length count',
    'CP',
    { colour: crack, line: 'plain-forks' },
  ],
  [
    'glass.crack.star',
    's',
    'star crack',
    'lines that meet at one point of impact',
    'point line',
    'count length',
    'CP',
    { colour: crack, line: 'plain-rays', point: 'star' },
  ],
  [
    'glass.crack.corner',
    'k',
    'corner crack',
    'line that cuts off a corner of the piece',
    'line',
    'length area',
    'CP',
    { colour: crack, line: 'ticks-left' },
  ],
  [
    'glass.crack.edge',
    'e',
    'edge crack',
    'line that starts at the edge and ends inside the piece',
    'line',
    'length',
    'CP',
    { colour: crack, line: 'arrows' },
  ],
  [
    'glass.crack.stress',
    't',
    'stress crack',
    'smooth curved line without a point of impact, often from a bar or a nail',
    'line',
    'length',
    'CP',
    { colour: crack, line: 'long-dashes' },
  ],
  [
    'glass.microcracks',
    'm',
    'microcracks',
    'net of fine surface cracks that do not go through the glass',
    'area',
    'area share',
    'CP',
    { colour: crack, area: 'lattice' },
  ],
  [
    'glass.loss.whole',
    'w',
    'piece missing',
    'the piece is absent, its opening empty',
    'area',
    'count area',
    'CV',
    { colour: loss, area: 'wide-45' },
  ],
  [
    'glass.loss.part',
    'l',
    'part missing',
    'a part of the piece is absent',
    'area',
    'area share',
    'CV',
    { colour: loss, area: 'wide-135' },
  ],
  [
    'glass.chip.edge',
    'h',
    'chipped edge',
    'flake missing at the edge, under or beside the lead',
    'point area',
    'count area depth',
    'CP',
    { colour: loss, area: 'triangles', point: 'triangle' },
  ],
  [
    'glass.conchoid',
    'o',
    'shell flake',
    'shell-shaped flake gone from the face, no crack through',
    'area',
    'area depth',
    'CP',
    { colour: loss, area: 'scales' },
  ],
  [
    'glass.scratch',
    'r',
    'scratch',
    'groove from rubbing or from a tool',
    'line',
    'length',
    'CP',
    { colour: surface, line: 'short-dashes' },
  ],
  [
    'glass.pit',
    'p',
    'pits',
    'small holes of corrosion in the face',
    'point area',
    'density depth share',
    'CV',
    { colour: corrosion, area: 'dots', point: 'disc' },
  ],
  [
    'glass.pit.merged',
    'g',
    'merged pits',
    'pits run together into a lowered surface',
    'area',
    'area share',
    'CP',
    { colour: corrosion, area: 'dots-large' },
  ],
  [
    'glass.crust',
    'u',
    'crust',
    'hard opaque layer of weathering products',
    'area',
    'area share depth',
    'CV',
    { colour: corrosion, area: 'brick' },
  ],
  [
    'glass.browning',
    'n',
    'browning',
    'dark spots or film from manganese in the glass',
    'area',
    'area share',
    'CP',
    { colour: corrosion, area: 'dots-fine' },
  ],
  [
    'glass.iridescence',
    'i',
    'iridescence',
    'thin weathering layers that shine in rainbow colours',
    'area',
    'area share',
    'CP',
    { colour: corrosion, area: 'waves' },
  ],
  [
    'glass.dirt',
    'd',
    'dirt',
    'loose or bound dirt on the surface',
    'area',
    'area share',
    'CP',
    { colour: surface, area: 'dashes-0' },
  ],
  [
    'glass.residue',
    'x',
    'residue',
    'old paint splash, putty smear, wax or film of adhesive',
    'area',
    'area share',
    'CP',
    { colour: surface, area: 'dashes-45' },
  ],
  [
    'glass.bio',
    'a',
    'growth',
    'algae, lichen, fungi or remains of insects',
    'area',
    'area share',
    'CP',
    { colour: 'bluish-green', area: 'stars' },
  ],
  [
    'glass.condensation',
    'v',
    'water marks',
    'water marks or lines where water ran',
    'area line',
    'area length',
    'CV',
    { colour: 'sky-blue', area: 'waves-90', line: 'dotted' },
  ],
  [
    'glass.flash.loss',
    'f',
    'flash lost',
    'the coloured skin of flashed glass is missing',
    'area',
    'area share',
    'CP',
    { colour: loss, area: 'double-45' },
  ],
];

const PAINT: readonly Row[] = [
  [
    'paint.loss',
    'l',
    'paint loss',
    'fired paint is absent where it was',
    'area',
    'area share',
    'CV',
    { colour: 'vermilion', area: 'lines-45' },
  ],
  [
    'paint.flaking',
    'f',
    'paint flaking',
    'paint lifts in scales and is still there',
    'area',
    'area share',
    'CP',
    { colour: 'vermilion', area: 'chevrons' },
  ],
  [
    'paint.powdering',
    'p',
    'paint powdering',
    'paint comes off as dust at a light touch',
    'area',
    'area share',
    'CP',
    { colour: 'vermilion', area: 'saltires' },
  ],
  [
    'paint.thinned',
    't',
    'paint worn thin',
    'line or tone is worn but can be read',
    'area',
    'area share',
    'CP',
    { colour: 'reddish-purple', area: 'lines-0' },
  ],
  [
    'paint.ghost',
    'g',
    'ghost of paint',
    'only a trace in the surface of the glass shows the old line',
    'area line',
    'area',
    'CP',
    { colour: 'reddish-purple', area: 'dashes-135', line: 'dash-dot' },
  ],
  [
    'paint.cold',
    'c',
    'cold paint',
    'retouching that was not fired',
    'area',
    'area share',
    'CP',
    { colour: 'reddish-purple', area: 'rings' },
  ],
  [
    'stain.change',
    's',
    'stain changed',
    'silver stain altered in tone',
    'area',
    'area',
    'CP',
    { colour: 'yellow', area: 'lines-90' },
  ],
  [
    'enamel.loss',
    'e',
    'enamel lost',
    'enamel scaled off',
    'area',
    'area share',
    'CP',
    { colour: 'vermilion', area: 'lines-135' },
  ],
];

const LEAD: readonly Row[] = [
  [
    'lead.crack',
    'c',
    'lead cracked',
    'fatigue crack across the leaf or heart, often beside a joint',
    'point line',
    'count length',
    'CP',
    { colour: 'black', line: 'ticks-slant', point: 'saltire' },
  ],
  [
    'lead.break',
    'b',
    'lead broken',
    'came fully parted',
    'point',
    'count',
    'CP',
    { colour: 'black', point: 'circle-saltire' },
  ],
  [
    'lead.leaf.open',
    'o',
    'leaf open',
    'leaf bent away from the glass',
    'line',
    'length',
    'CP',
    { colour: 'black', line: 'ticks-right' },
  ],
  [
    'lead.leaf.torn',
    't',
    'leaf torn',
    'part of a leaf is missing',
    'line',
    'length',
    'CP',
    { colour: 'black', line: 'teeth' },
  ],
  [
    'lead.flattened',
    'f',
    'lead flattened',
    'leaf pressed or hammered out of shape',
    'line',
    'length',
    'CP',
    { colour: 'black', line: 'rail' },
  ],
  [
    'lead.corrosion',
    'r',
    'lead corroded',
    'white or grey powder, pitting of the lead',
    'area line',
    'length share',
    'CP',
    { colour: 'bluish-green', area: 'plus', line: 'crosses' },
  ],
  [
    'lead.deflect',
    'd',
    'lead out of line',
    'came out of its drawn line in the plane of the panel',
    'line',
    'length offset',
    'CP',
    { colour: 'black', line: 'dash-dot-dot' },
  ],
  [
    'solder.crack',
    's',
    'joint cracked',
    'soldered joint cracked or loose',
    'point',
    'count',
    'CP',
    { colour: 'reddish-purple', point: 'circle' },
  ],
  [
    'solder.missing',
    'm',
    'joint not soldered',
    'joint without solder',
    'point',
    'count',
    'CP',
    { colour: 'reddish-purple', point: 'circle-bar' },
  ],
  [
    'putty.loss',
    'p',
    'cement lost',
    'cement missing between leaf and glass',
    'line',
    'length share',
    'CP',
    { colour: 'orange', line: 'dashed' },
  ],
  [
    'putty.hard',
    'h',
    'cement hard',
    'cement cracked, no longer seals',
    'line',
    'length',
    'CP',
    { colour: 'orange', line: 'ticks' },
  ],
  [
    'leak',
    'l',
    'leak',
    'a path of light or water seen at the came',
    'point line',
    'count length',
    'CP',
    { colour: 'sky-blue', line: 'combs', point: 'triangle-down' },
  ],
];

const SUPPORT: readonly Row[] = [
  [
    'panel.bulge',
    'b',
    'bulge',
    'part of the panel out of plane, dome or ridge',
    'area',
    'rise chord area',
    'PB',
    { colour: 'blue', area: 'rings-large' },
  ],
  [
    'panel.sag',
    's',
    'sag',
    'panel slumped in its plane: gaps above, crushed below',
    'area',
    'drop',
    'PB',
    { colour: 'blue', area: 'zigzag' },
  ],
  [
    'panel.hinge',
    'h',
    'hinge',
    'fold along a run of parallel leads',
    'line',
    'length angle',
    'PB',
    { colour: 'blue', line: 'diamonds' },
  ],
  [
    'panel.loose',
    'l',
    'panel loose',
    'moves at a gentle push',
    'area',
    'moves',
    'PB',
    { colour: 'blue', area: 'wide-90' },
  ],
  [
    'tie.broken',
    't',
    'tie broken',
    'copper or lead tie parted from bar or panel',
    'point',
    'count',
    'CP',
    { colour: 'orange', point: 'diamond' },
  ],
  [
    'tie.missing',
    'm',
    'tie missing',
    'tie absent from its place',
    'point',
    'count',
    'CP',
    { colour: 'orange', point: 'diamond-filled' },
  ],
  [
    'bar.bent',
    'e',
    'bar bent',
    'support bar out of line',
    'line',
    'rise',
    'CP',
    { colour: 'orange', line: 'boxes' },
  ],
  [
    'bar.loose',
    'o',
    'bar loose',
    'end of a bar not held in the frame',
    'point',
    'count',
    'CP',
    { colour: 'orange', point: 'square' },
  ],
  [
    'iron.rust',
    'r',
    'rust',
    'ironwork that rusts, with or without expansion',
    'line area',
    'length share',
    'CP',
    { colour: 'vermilion', area: 'grid', line: 'teeth-both' },
  ],
  [
    'stone.crack',
    'c',
    'stone split',
    'stone of the frame split by rusting iron',
    'line',
    'length',
    'CP',
    { colour: 'vermilion', line: 'arrows-dashed' },
  ],
  [
    'frame.gap',
    'g',
    'gap at the frame',
    'open joint between panel and frame',
    'line',
    'length width',
    'CP',
    { colour: 'sky-blue', line: 'hooks' },
  ],
  [
    'seal.failed',
    'f',
    'seal failed',
    'edge of mastic or mortar lost',
    'line',
    'length',
    'CP',
    { colour: 'sky-blue', line: 'steps' },
  ],
];

const REPAIR: readonly Row[] = [
  [
    'rep.mendlead',
    'm',
    'mending lead',
    'came put into a break, or a strap lead over one',
    'line',
    'length width',
    'CP',
    { colour: 'black', line: 'rail-ticks' },
  ],
  [
    'rep.falselead',
    'a',
    'false lead',
    'thin lead laid on the face, not through',
    'line',
    'length',
    'CP',
    { colour: 'black', line: 'ticks-wide' },
  ],
  [
    'rep.foil',
    'f',
    'copper foil',
    'edge in copper foil with a soldered seam',
    'line',
    'length width',
    'PB',
    { colour: 'orange', line: 'ticks-pair' },
  ],
  [
    'rep.epoxy',
    'e',
    'bond, epoxy',
    'break joined with epoxy',
    'line',
    'length',
    'PB',
    { colour: 'bluish-green', line: 'beads' },
  ],
  [
    'rep.silicone',
    's',
    'bond, silicone',
    'break joined with a flexible bond of silicone',
    'line',
    'length',
    'PB',
    { colour: 'bluish-green', line: 'crosses-dashed' },
  ],
  [
    'rep.resinfill',
    'r',
    'resin fill',
    'gap filled with resin',
    'area',
    'area',
    'CP',
    { colour: 'bluish-green', area: 'double-0' },
  ],
  [
    'rep.plate',
    'p',
    'plate',
    'extra sheet behind or before the piece',
    'area',
    'area thickness',
    'CP',
    { colour: 'sky-blue', area: 'squares' },
  ],
  [
    'rep.stopgap',
    'o',
    'stopgap',
    'old glass from elsewhere used as infill',
    'area',
    'area',
    'CV',
    { colour: 'reddish-purple', area: 'double-90' },
  ],
  [
    'rep.newglass',
    'n',
    'new glass',
    'infill of new glass, marked or not',
    'area',
    'area',
    'CV',
    { colour: 'reddish-purple', area: 'double-135' },
  ],
  [
    'rep.inverted',
    'i',
    'piece turned',
    'piece set back to front or upside down',
    'area',
    'count',
    'CP',
    { colour: 'yellow', area: 'zigzag-90' },
  ],
  [
    'rep.releaded',
    'l',
    'releaded',
    'came replaced, period known or not',
    'line',
    'length',
    'CP',
    { colour: 'yellow', line: 'anchors' },
  ],
  [
    'rep.protglaz',
    'g',
    'protective glazing',
    'outer protective glazing, ventilated or not',
    'area',
    'area gap',
    'CV',
    { colour: 'sky-blue', area: 'wide-0' },
  ],
];

const SOURCES = {
  CP: 'trade word',
  CV: 'guideline heading',
  PB: 'preservation brief',
} as const;

const AAT_IDS: Readonly<Record<string, string>> = { 'glass.microcracks': '300387447' };

function termsOf(group: TermGroup, rows: readonly Row[]): FindingTerm[] {
  return rows.map(
    ([key, letter, label, definition, geometries, quantities, source, sign]): FindingTerm => ({
      key,
      group,
      label,
      definition,
      geometries: geometries.split(' ') as GeometryKind[],
      quantities: quantities.split(' ') as Quantity[],
      source: SOURCES[source],
      isNeutral: group === 'repair',
      shortcut: `${TERM_GROUPS[group].letter}${letter}`,
      aatId: AAT_IDS[key] ?? null,
      sign,
    }),
  );
}

/** Every finding term, in the order of the legend. */
export const FINDING_TERMS: readonly FindingTerm[] = [
  ...termsOf('glass', GLASS),
  ...termsOf('paint', PAINT),
  ...termsOf('lead', LEAD),
  ...termsOf('support', SUPPORT),
  ...termsOf('repair', REPAIR),
];

const BY_KEY = new Map(FINDING_TERMS.map((term) => [term.key, term]));

/** The term of a key, or undefined when there is none. */
export function findingTerm(key: string): FindingTerm | undefined {
  return BY_KEY.get(key);
}

/** What a rubbing and its picture are like. Figures chosen so that the statistics match the sample cases. */
export interface Quality {
  /** Sheet resolution in the picture, px per mm. */
  pxPerMm: readonly [number, number];
  dpi?: number;
  photograph: boolean;
  /** Mean pressure on the cames and how far it wanders, as shares of full coverage. */
  pressure: number;
  pressureSpread: number;
  /** Bare spots, smeared areas, folds, stains, each a range of counts. */
  bareSpots: readonly [number, number];
  weakAreas: readonly [number, number];
  smears: readonly [number, number];
  folds: readonly [number, number];
  stains: readonly [number, number];
  /** Coverage of the glass far from any came. */
  glassCoverage: readonly [number, number];
  edgeRoughMm: number;
  blurPx: number;
  noise: number;
  jpegQuality: number;
  k1: number;
  shadow: number;
  tiltDeg: number;
  turned: boolean;
}

export const QUALITIES = {
  clean: {
    pxPerMm: [7.874, 7.874],
    dpi: 200,
    photograph: false,
    pressure: 0.66,
    pressureSpread: 0.24,
    bareSpots: [0, 1],
    weakAreas: [0, 2],
    smears: [0, 0],
    folds: [0, 1],
    stains: [0, 0],
    glassCoverage: [0.05, 0.1],
    edgeRoughMm: 0.09,
    blurPx: 0.8,
    noise: 0.012,
    jpegQuality: 90,
    k1: 0,
    shadow: 0,
    tiltDeg: 0,
    turned: false,
  },
  phone: {
    pxPerMm: [4.6, 6],
    photograph: true,
    pressure: 0.72,
    pressureSpread: 0.22,
    bareSpots: [1, 2],
    weakAreas: [0, 2],
    smears: [0, 0],
    folds: [1, 2],
    stains: [0, 1],
    glassCoverage: [0.06, 0.13],
    edgeRoughMm: 0.11,
    blurPx: 1,
    noise: 0.02,
    jpegQuality: 84,
    k1: 0.012,
    shadow: 0.45,
    tiltDeg: 9,
    turned: false,
  },
  poor: {
    pxPerMm: [3.6, 4.6],
    photograph: true,
    pressure: 0.6,
    pressureSpread: 0.3,
    bareSpots: [2, 4],
    weakAreas: [3, 5],
    smears: [2, 4],
    folds: [2, 3],
    stains: [1, 3],
    glassCoverage: [0.07, 0.17],
    edgeRoughMm: 0.16,
    blurPx: 1.25,
    noise: 0.035,
    jpegQuality: 76,
    k1: 0.014,
    shadow: 0.6,
    tiltDeg: 12,
    turned: true,
  },
} satisfies Record<string, Quality>;
export type QualityName = keyof typeof QUALITIES;
